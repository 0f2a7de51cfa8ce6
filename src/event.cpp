#include "penstock/detail/event.ipp"
