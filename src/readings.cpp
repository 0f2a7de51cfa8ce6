#include "penstock/detail/readings.ipp"
