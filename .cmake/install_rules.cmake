# Install, export and package files. One export set for each component, so that a program which needs
# only the logic does not need what the readers need.
include(CMakePackageConfigHelpers)

set(penstock_package_folder "${CMAKE_INSTALL_LIBDIR}/cmake/penstock")

install(TARGETS penstock EXPORT penstock-core FILE_SET HEADERS)
install(TARGETS penstock_header_only EXPORT penstock-header_only FILE_SET HEADERS FILE_SET detail)
set(penstock_exports core header_only)
if(PENSTOCK_FILES)
  install(TARGETS penstock_files EXPORT penstock-files FILE_SET HEADERS)
  install(TARGETS penstock_explore EXPORT penstock-explore FILE_SET HEADERS)
  list(APPEND penstock_exports files explore)
endif()
if(PENSTOCK_COMMAND)
  install(TARGETS penstock_command)
endif()
foreach(export IN LISTS penstock_exports)
  install(EXPORT penstock-${export} FILE penstock-${export}.cmake NAMESPACE penstock::
    DESTINATION "${penstock_package_folder}")
endforeach()

configure_package_config_file("${PROJECT_SOURCE_DIR}/.cmake/penstock-config.cmake.in" penstock-config.cmake
  INSTALL_DESTINATION "${penstock_package_folder}" NO_SET_AND_CHECK_MACRO)
# Before 1.0 each minor version may break its users.
write_basic_package_version_file(penstock-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES "${CMAKE_CURRENT_BINARY_DIR}/penstock-config.cmake"
  "${CMAKE_CURRENT_BINARY_DIR}/penstock-config-version.cmake" DESTINATION "${penstock_package_folder}")
install(FILES "${PROJECT_SOURCE_DIR}/LICENSE" DESTINATION "${CMAKE_INSTALL_DATADIR}/licenses/penstock")
