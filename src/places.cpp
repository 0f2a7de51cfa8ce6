#include "penstock/detail/places.ipp"
