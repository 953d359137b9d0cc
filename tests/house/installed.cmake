# What is installed into a folder of its own holds all that belongs to it, and works from there: the command line finds a tip
# in the installed demo, and reads a pack through the installed reader of containers, not through that of the build folder.
set(scratch ${BUILD}/installed)
file(REMOVE_RECURSE ${scratch})
execute_process(COMMAND ${CMAKE_COMMAND} --install ${BUILD} --prefix ${scratch}/usr
  RESULT_VARIABLE code OUTPUT_QUIET ERROR_VARIABLE said)
if(NOT code EQUAL 0)
  message(FATAL_ERROR "cmake --install: ${said}")
endif()

foreach(file
    bin/baylore bin/baylore-viewer libexec/baylore/baylore-photo libexec/baylore/baylore-container
    share/baylore/demo/shop.md share/applications/baylore.desktop share/icons/hicolor/scalable/apps/baylore.svg
    share/icons/hicolor/48x48/apps/baylore.png share/icons/hicolor/128x128/apps/baylore.png
    share/man/man1/baylore.1.gz share/man/man1/baylore-viewer.1.gz share/man/man7/baylore-bay.7.gz
    share/bash-completion/completions/baylore share/bash-completion/completions/baylore-viewer
    share/zsh/vendor-completions/_baylore share/fish/vendor_completions.d/baylore.fish
    share/doc/baylore/copyright share/doc/baylore/changelog.Debian.gz share/doc/baylore/JSON.md
    share/doc/baylore/examples/baylore-bay.service share/doc/baylore/examples/baylore-bay-compositor.service
    share/doc/baylore/examples/baylore.sysusers share/doc/baylore/examples/baylore.tmpfiles
    share/doc/baylore/examples/70-baylore-sticks.rules)
  if(NOT EXISTS ${scratch}/usr/${file} OR IS_DIRECTORY ${scratch}/usr/${file})
    message(SEND_ERROR "${file} is not installed")
    continue()
  endif()
  file(SIZE ${scratch}/usr/${file} size)
  if(size EQUAL 0)
    message(SEND_ERROR "${file} is empty")
  endif()
endforeach()

set(ENV{HOME} ${scratch}/home)
set(ENV{XDG_CACHE_HOME} ${scratch}/home/cache)
set(ENV{XDG_STATE_HOME} ${scratch}/home/state)
set(baylore ${scratch}/usr/bin/baylore)
set(demo ${scratch}/usr/share/baylore/demo)

# run(CODE WORDS...): what it prints is in `out`.
function(run expected)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE code OUTPUT_VARIABLE out ERROR_VARIABLE said)
  if(NOT code EQUAL expected)
    message(FATAL_ERROR "${ARGN}: ${code} instead of ${expected}: ${out}${said}")
  endif()
  set(out "${out}" PARENT_SCOPE)
endfunction()

run(0 ${baylore} --version)
run(0 ${baylore} search --shop ${demo} hauler heater cold idle)
if(NOT out MATCHES "Heater")
  message(SEND_ERROR "the installed command line does not find the tip: ${out}")
endif()
run(0 ${baylore} pack --shop ${demo} --system cooling --to ${scratch}/home --name north)
file(GLOB pack ${scratch}/home/*.bag.zip)
run(0 ${baylore} unpack --verify ${pack})
# A reader that refuses to work stands in: if the pack is still read, another one is in use.
file(WRITE ${scratch}/usr/libexec/baylore/baylore-container "#!/bin/sh\nexit 9\n")
execute_process(COMMAND ${baylore} unpack --verify ${pack} RESULT_VARIABLE code OUTPUT_QUIET ERROR_QUIET)
if(code EQUAL 0)
  message(SEND_ERROR "the pack was read, and not by the installed reader of containers")
endif()

# Every verb that the command line has is in its manual page and in the completions.
run(0 ${baylore} --help)
string(REGEX REPLACE ".*Subcommands:\n" "" verbs "${out}")
string(REGEX MATCHALL "\n  [a-z-]+" verbs "\n${verbs}")
list(LENGTH verbs count)
if(count LESS 10)
  message(SEND_ERROR "the command line says little of its verbs: ${out}")
endif()
run(0 gzip -dc ${scratch}/usr/share/man/man1/baylore.1.gz)
string(REPLACE "\\-" "-" page "${out}")
file(READ ${scratch}/usr/share/bash-completion/completions/baylore completion)
foreach(verb ${verbs})
  string(STRIP "${verb}" verb)
  string(FIND "${page}" ".SS ${verb}\n" in_page)
  string(FIND "${completion}" "'baylore ${verb} --shop')" in_completion)
  if(in_page LESS 0 OR in_completion LESS 0)
    message(SEND_ERROR "${verb}: not in the manual page or not in the completion")
  endif()
endforeach()
file(REMOVE_RECURSE ${scratch})
