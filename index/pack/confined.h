// Containers in files are read by baylore-container, a program that can do nothing else: one made
// to break its reader breaks only that. What the program says is judged here like anything that
// comes from elsewhere: taken over, it could give wrong bytes, which the check sums tell, and no
// more.
#pragma once

#include <memory>
#include <string>

#include "files/disk.h"
#include "files/result.h"
#include "pack/container.h"

namespace baylore::pack {

// Where baylore-container is; to be said once, before the first pack is opened. Not said, or not
// there, and every pack stays closed, with what to do.
void read_containers_with(std::string program);
// In this process instead: for tests of what comes after, and never in a program.
void read_containers_unconfined();

// The container in a file. `disk` must outlive it; the calling thread must, too: the program dies
// with it. A program that dies, lies, or says nothing for a minute is a reason to refuse the file.
files::Result<std::unique_ptr<Container>> open_container(files::Disk& disk,
                                                         const std::string& path);

}  // namespace baylore::pack
