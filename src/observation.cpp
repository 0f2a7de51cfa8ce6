#include "penstock/detail/observation.ipp"
