#include "penstock/layout.hpp"

#include "penstock/detail/layout.ipp"
