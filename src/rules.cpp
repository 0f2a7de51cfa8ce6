// Compiles the catalogue of rules for those who link the library.
#include "penstock/detail/rules.ipp"
