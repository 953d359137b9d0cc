# Every source is laid out as .clang-format says. `clang-format -i FILE` mends one.
file(GLOB_RECURSE sources ${SOURCE}/index/*.h ${SOURCE}/index/*.cc ${SOURCE}/viewer/*.h ${SOURCE}/viewer/*.cc
  ${SOURCE}/tools/*.h ${SOURCE}/tools/*.cc ${SOURCE}/tests/*.h ${SOURCE}/tests/*.cc)
list(LENGTH sources count)
if(count LESS 100)
  message(FATAL_ERROR "only ${count} sources found: this check is looking in the wrong place")
endif()
execute_process(COMMAND ${CLANG_FORMAT} --dry-run -Werror ${sources} RESULT_VARIABLE code)
if(NOT code EQUAL 0)
  message(FATAL_ERROR "a source is not laid out as .clang-format says: clang-format -i mends it")
endif()
message(STATUS "${count} sources, all laid out alike")
