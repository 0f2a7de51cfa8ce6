#include "penstock/layouts.hpp"

#include "penstock/detail/layouts.ipp"
