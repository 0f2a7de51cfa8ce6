#include "penstock/detail/plant.ipp"
