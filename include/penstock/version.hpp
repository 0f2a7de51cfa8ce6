// The one place where the version stands. CMake reads it from here.
#pragma once

#define PENSTOCK_VERSION_MAJOR 0
#define PENSTOCK_VERSION_MINOR 1
#define PENSTOCK_VERSION_PATCH 0
#define PENSTOCK_VERSION "0.1.0"
