#include "penstock/detail/state.ipp"
