#include "penstock/detail/simulation.ipp"
