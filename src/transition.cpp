#include "penstock/detail/transition.ipp"
