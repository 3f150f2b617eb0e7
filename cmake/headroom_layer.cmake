# headroom_layer(NAME LINK ...): one layer of src/ as a static library of all its sources.
function(headroom_layer name)
  cmake_parse_arguments(ARG "" "" "LINK" ${ARGN})
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/${name}/*.cpp)
  add_library(headroom_${name} STATIC ${sources})
  target_include_directories(headroom_${name} PUBLIC ${CMAKE_SOURCE_DIR}/src)
  target_link_libraries(headroom_${name} PUBLIC ${ARG_LINK} PRIVATE headroom_options)
  headroom_unity(headroom_${name})
endfunction()

# headroom_program(NAME FOLDER LINK ...): an executable of all sources of one folder.
function(headroom_program name folder)
  cmake_parse_arguments(ARG "" "" "LINK" ${ARGN})
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${folder}/*.cpp)
  add_executable(${name} ${sources})
  target_link_libraries(${name} PRIVATE ${ARG_LINK} headroom_options)
  if(NOT HEADROOM_SANITIZE AND NOT HEADROOM_COVERAGE)
    # Saves most of what the dynamic linker costs a short command (docs/decisions/0004-static-libraries.md).
    target_link_options(${name} PRIVATE -static-libstdc++ -static-libgcc)
  endif()
  headroom_unity(${name})
endfunction()

function(headroom_unity target)
  if(HEADROOM_UNITY)
    set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE 6)
  endif()
endfunction()
