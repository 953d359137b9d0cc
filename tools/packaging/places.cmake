# Where an installed program finds what comes with it.
include(GNUInstallDirs)

option(BAYLORE_PACKAGED
  "For a package: programs look for what comes with them where it is installed, and never in the build folder" OFF)

# baylore_finds(SOURCE MACRO folder/name built/path): in SOURCE, BAYLORE_<MACRO> is the path in the build tree, and
# BAYLORE_<MACRO>_INSTALLED the one from the folder of the installed program; see files::with_program(). A package must not
# know the former: whoever can write there could have the installed program start something else.
function(baylore_finds source macro installed built)
  file(RELATIVE_PATH from_program ${CMAKE_INSTALL_FULL_BINDIR} ${CMAKE_INSTALL_PREFIX}/${installed})
  if(BAYLORE_PACKAGED)
    set(built "")
  endif()
  set_property(SOURCE ${source} APPEND PROPERTY COMPILE_DEFINITIONS
    BAYLORE_${macro}="${built}" BAYLORE_${macro}_INSTALLED="${from_program}")
endfunction()

set(BAYLORE_HELPERS ${CMAKE_INSTALL_LIBEXECDIR}/baylore) # programs that only programs start
set(BAYLORE_SHARE ${CMAKE_INSTALL_DATADIR}/baylore)
