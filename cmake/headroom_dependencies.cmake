# Every library the project uses, all from Debian 12. Static where Debian ships an archive: a command's start is
# then not spent on the dynamic linker.
find_package(PkgConfig REQUIRED)
find_package(Eigen3 3.4 REQUIRED NO_MODULE)
find_package(nlohmann_json 3.11 REQUIRED)
find_package(fmt 9 REQUIRED)
find_package(pugixml REQUIRED)
find_package(Threads REQUIRED)

# tl::expected (libexpected-dev): headers only, no config file in Debian.
find_path(EXPECTED_INCLUDE tl/expected.hpp REQUIRED)
add_library(headroom_expected INTERFACE)
target_include_directories(headroom_expected SYSTEM INTERFACE ${EXPECTED_INCLUDE})

find_path(GEOGRAPHICLIB_INCLUDE GeographicLib/Geodesic.hpp REQUIRED)
find_library(GEOGRAPHICLIB_ARCHIVE NAMES libGeographicLib.a REQUIRED)
if(NOT TARGET GeographicLib::GeographicLib)
  add_library(GeographicLib::GeographicLib INTERFACE IMPORTED)
  target_include_directories(GeographicLib::GeographicLib SYSTEM INTERFACE ${GEOGRAPHICLIB_INCLUDE})
  target_link_libraries(GeographicLib::GeographicLib INTERFACE ${GEOGRAPHICLIB_ARCHIVE})
endif()

find_path(SODIUM_INCLUDE sodium.h REQUIRED)
find_library(SODIUM_ARCHIVE NAMES libsodium.a REQUIRED)
add_library(headroom_sodium INTERFACE)
target_include_directories(headroom_sodium SYSTEM INTERFACE ${SODIUM_INCLUDE})
target_link_libraries(headroom_sodium INTERFACE ${SODIUM_ARCHIVE} Threads::Threads)

find_path(SQLITE_INCLUDE sqlite3.h REQUIRED)
find_library(SQLITE_ARCHIVE NAMES libsqlite3.a REQUIRED)
add_library(headroom_sqlite INTERFACE)
target_include_directories(headroom_sqlite SYSTEM INTERFACE ${SQLITE_INCLUDE})
target_link_libraries(headroom_sqlite INTERFACE ${SQLITE_ARCHIVE} ${CMAKE_DL_LIBS} Threads::Threads m)

find_path(CLI11_INCLUDE CLI/CLI.hpp REQUIRED)
add_library(headroom_cli11 INTERFACE)
target_include_directories(headroom_cli11 SYSTEM INTERFACE ${CLI11_INCLUDE})

find_library(PUGIXML_ARCHIVE NAMES libpugixml.a REQUIRED)
find_path(PUGIXML_INCLUDE pugixml.hpp REQUIRED)
if(NOT TARGET pugixml::static)
  add_library(pugixml::static INTERFACE IMPORTED)
  target_include_directories(pugixml::static SYSTEM INTERFACE ${PUGIXML_INCLUDE})
  target_link_libraries(pugixml::static INTERFACE ${PUGIXML_ARCHIVE})
endif()

# minizip (libminizip-dev) for zip, zlib (zlib1g-dev) for gzip and under it; neither has a config file in Debian.
find_path(MINIZIP_INCLUDE minizip/unzip.h REQUIRED)
find_library(MINIZIP_ARCHIVE NAMES libminizip.a REQUIRED)
find_path(ZLIB_INCLUDE zlib.h REQUIRED)
find_library(ZLIB_ARCHIVE NAMES libz.a REQUIRED)
add_library(headroom_zip INTERFACE)
target_include_directories(headroom_zip SYSTEM INTERFACE ${MINIZIP_INCLUDE} ${ZLIB_INCLUDE})
target_link_libraries(headroom_zip INTERFACE ${MINIZIP_ARCHIVE} ${ZLIB_ARCHIVE})

# cairo: its headers alone. The library is opened when something is drawn (docs/decisions/0011-cairo-on-demand.md).
find_path(CAIRO_INCLUDE cairo/cairo-svg.h REQUIRED)
add_library(headroom_cairo INTERFACE)
target_include_directories(headroom_cairo SYSTEM INTERFACE ${CAIRO_INCLUDE})
target_link_libraries(headroom_cairo INTERFACE ${CMAKE_DL_LIBS})

# cpp-httplib (libcpp-httplib-dev): Debian's is a shared library with its own switches, which change the layout of its classes.
pkg_check_modules(HTTPLIB REQUIRED cpp-httplib)
add_library(headroom_httplib INTERFACE)
target_compile_options(headroom_httplib INTERFACE ${HTTPLIB_CFLAGS})
target_link_libraries(headroom_httplib INTERFACE ${HTTPLIB_LINK_LIBRARIES} Threads::Threads)

# QR codes (libqrcodegencpp-dev, MIT): the pairing code for a phone's camera.
find_path(QRCODEGEN_INCLUDE qrcodegen/qrcodegen.hpp REQUIRED)
find_library(QRCODEGEN_ARCHIVE NAMES libqrcodegencpp.a REQUIRED)
add_library(headroom_qrcode INTERFACE)
target_include_directories(headroom_qrcode SYSTEM INTERFACE ${QRCODEGEN_INCLUDE})
target_link_libraries(headroom_qrcode INTERFACE ${QRCODEGEN_ARCHIVE})
