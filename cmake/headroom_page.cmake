# The page as bytes in the program: every file of web/dist, compressed once, at build time. web/dist is kept in the project, so that
# who only builds and runs needs no Node; ./check builds it anew and compares.
add_executable(headroom_embed ${CMAKE_SOURCE_DIR}/tools/embed_page.cpp)
target_link_libraries(headroom_embed PRIVATE headroom_zip)

file(GLOB_RECURSE page_files CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/web/dist/*)
set(page_source ${CMAKE_BINARY_DIR}/page_assets.cpp)
add_custom_command(OUTPUT ${page_source}
  COMMAND headroom_embed ${CMAKE_SOURCE_DIR}/web/dist ${page_source}
  DEPENDS headroom_embed ${page_files} VERBATIM)
add_library(headroom_page STATIC ${page_source})
target_include_directories(headroom_page PRIVATE ${CMAKE_SOURCE_DIR}/src)
target_link_libraries(headroom_page PRIVATE nlohmann_json::nlohmann_json headroom_expected)
