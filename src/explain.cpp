#include "penstock/detail/explain.ipp"
