// The whole pure interface: layouts, states, events, transition, observation, explanation, and the
// simulation that puts them together. No third party, no parser, no tables.
#pragma once

#include "penstock/event.hpp"
#include "penstock/explain.hpp"
#include "penstock/hydraulics.hpp"
#include "penstock/layout.hpp"
#include "penstock/layouts.hpp"
#include "penstock/modes.hpp"
#include "penstock/observation.hpp"
#include "penstock/plant.hpp"
#include "penstock/quasi_static.hpp"
#include "penstock/result.hpp"
#include "penstock/readings.hpp"
#include "penstock/rules.hpp"
#include "penstock/simulation.hpp"
#include "penstock/state.hpp"
#include "penstock/transition.hpp"
#include "penstock/units.hpp"
#include "penstock/version.hpp"
