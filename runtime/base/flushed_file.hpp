// Files that are on the disk, not only in memory, before anyone relies on them. What replaces a file is written beside
// it by `write_flushed`, renamed, and the rename made lasting by `flush_folder`: whenever the power goes, the old file
// is there or the new one, whole.
//
// Errors are errno's numbers, 0 where all went well; who calls knows what a person calls the file.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace lacestay::runtime {

// A new file with these bytes, flushed; `name` is looked for from the open folder, or from where the program runs
// (AT_FDCWD). `prepare` is given the open file once it is written, to set its owner or mode, and gives an error or 0.
// EEXIST where the name is taken, by a link too. After any other error there is no such file. Cost: the disk is waited
// for.
[[nodiscard]] int write_flushed(int folder, const std::string& name, std::string_view bytes,
                                const std::function<int(int file)>& prepare = {});

// The names in the folder are on the disk.
[[nodiscard]] int flush_folder(int folder);

}  // namespace lacestay::runtime
