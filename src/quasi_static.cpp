#include "penstock/detail/quasi_static.ipp"
