# Language, warnings and build kinds, for every target of ours.
option(HEADROOM_TESTS "Build the tests" ON)
option(HEADROOM_BENCH "Build the benches" OFF)
option(HEADROOM_FUZZ "Build the fuzz targets (clang)" OFF)
option(HEADROOM_UNITY "Several sources to one compilation" OFF)
set(HEADROOM_SANITIZE "" CACHE STRING "Sanitizers to build with, e.g. address,undefined")
option(HEADROOM_COVERAGE "Count executed lines" OFF)

set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
set(CMAKE_POSITION_INDEPENDENT_CODE ON)

find_program(CCACHE ccache)
if(CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER ${CCACHE})
endif()

add_library(headroom_options INTERFACE)
target_compile_options(headroom_options INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wnon-virtual-dtor -Wold-style-cast -Wcast-qual
  -Woverloaded-virtual -Wdouble-promotion -Wimplicit-fallthrough -Werror
  # The answer must not depend on what the compiler contracts into a fused multiply-add.
  -ffp-contract=off)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  # GCC 12 reports these inside its own headers at -O2 and above (GCC bugs 105329, 105545).
  target_compile_options(headroom_options INTERFACE -Wno-restrict -Wno-maybe-uninitialized)
endif()
if(HEADROOM_SANITIZE)
  # The code that a sanitizer puts in brings warnings of its own (GCC's manual says so at -fsanitize); the other builds keep them as errors.
  target_compile_options(headroom_options INTERFACE -Wno-error)
  target_compile_options(headroom_options INTERFACE -fsanitize=${HEADROOM_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
  target_link_options(headroom_options INTERFACE -fsanitize=${HEADROOM_SANITIZE})
endif()
if(HEADROOM_COVERAGE)
  target_compile_options(headroom_options INTERFACE --coverage)
  target_link_options(headroom_options INTERFACE --coverage)
endif()
