// How the library is used: compiled once and linked, or header-only.
#pragma once

#if defined(PENSTOCK_HEADER_ONLY)
#define PENSTOCK_API
#define PENSTOCK_INLINE inline
#else
#define PENSTOCK_API __attribute__((visibility("default")))
#define PENSTOCK_INLINE
#endif
