// The whole pure interface with its implementation, for programs that link no compiled penstock.
// Include it wherever you would include penstock/penstock.hpp. It needs Boost 1.81 and costs what the
// tables cost (see DEVELOPERS.md); the compiled target is the cheaper way.
#pragma once

#if !defined(PENSTOCK_HEADER_ONLY)
#error "penstock/header_only.hpp: link penstock::header_only, or define PENSTOCK_HEADER_ONLY for the whole program"
#endif

#include "penstock/penstock.hpp"

#include "penstock/detail/event.ipp"
#include "penstock/detail/explain.ipp"
#include "penstock/detail/layout.ipp"
#include "penstock/detail/layouts.ipp"
#include "penstock/detail/observation.ipp"
#include "penstock/detail/places.ipp"
#include "penstock/detail/plant.ipp"
#include "penstock/detail/quasi_static.ipp"
#include "penstock/detail/readings.ipp"
#include "penstock/detail/rules.ipp"
#include "penstock/detail/simulation.ipp"
#include "penstock/detail/state.ipp"
#include "penstock/detail/transition.ipp"
