// The program `lacestay`: its commands run, what they read, write and tell.
//
// What a person asked for goes to standard output, what went wrong to standard error. A file the program writes is
// written whole or not at all.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "runtime/engine/engine.hpp"
#include "runtime/options/command.hpp"
#include "runtime/options/stop.hpp"

namespace lacestay::runtime {

// Standard output; throws Stop where it was closed.
void print(std::string_view text);
void print_problem(std::string_view text);  // standard error

struct Loaded;

// Compiles a policy for use, or loads one that was sealed (sealed_policy.hpp), and proves it. Throws Stop with what is
// wrong.
[[nodiscard]] std::shared_ptr<const Engine> engine_for(const std::string& policy_path);
// The same without the proof, for those who show what the proof finds.
[[nodiscard]] std::shared_ptr<const Engine> unproved_engine_for(const std::string& policy_path);
// Of a policy that was loaded (load.hpp) from that path.
[[nodiscard]] std::shared_ptr<const Engine> engine_or_stop(Loaded loaded, const std::string& policy_path);

// Of an Error that is no Stop, which ends a command too, by its problem's code: the daybook's and the stock's are about
// files, others the program's own fault.
[[nodiscard]] ExitCode exit_code_of(const Problem& problem);

// "POLICY gives no advice until this is mended."
[[nodiscard]] std::string refusal_of(const std::string& policy_path, std::size_t findings);

// A whole text file; throws Stop. "-" is standard input.
[[nodiscard]] std::string text_from(const std::string& path);
// Writes a whole file, by way of a temporary one beside it, which is on the disk before it takes the place of what was
// there; throws Stop.
void write_file(const std::string& path, std::string_view text);
// The same of a file for the owner to read and keep, and says so: one that is there may hold what they kept, so that is
// left as it is, with a Stop. Who works long before it writes, or writes several, asks first.
void write_new_file(const std::string& path, std::string_view text);
void refuse_to_overwrite(const std::string& path);

// The program, with what `main` is given; its exit code. Whatever is thrown on the way, memory that is not to be had
// included, is told to standard error and has an exit code.
int run(int count, const char* const* words) noexcept;

}  // namespace lacestay::runtime
