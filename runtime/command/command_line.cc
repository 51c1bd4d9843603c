#include "runtime/command/command_line.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <iostream>
#include <new>
#include <optional>
#include <vector>

#include "compiler/check/compile.hpp"
#include "grammar/text/source.hpp"
#include "runtime/base/flushed_file.hpp"
#include "runtime/base/version.hpp"
#include "runtime/command/commands.hpp"
#include "runtime/load/load.hpp"
#include "runtime/options/completion.hpp"
#include "runtime/options/help.hpp"
#include "runtime/options/parse.hpp"

namespace lacestay::runtime {

namespace fs = std::filesystem;

void print(std::string_view text) {
  const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
  if (!written) throw Stop{file_trouble, fmt::format("The output could not be written: {}.\n", std::strerror(errno))};
}

void print_problem(std::string_view text) { std::fwrite(text.data(), 1, text.size(), stderr); }

ExitCode exit_code_of(const Problem& problem) {
  if (problem.code == "daybook-8") return not_understood;  // it names an entry that is not there
  const auto subject = problem.code.substr(0, problem.code.find('-'));
  return subject == "daybook" || subject == "sale" ? file_trouble : own_fault;
}

std::string refusal_of(const std::string& policy_path, std::size_t findings) {
  return fmt::format("{} gives no advice until {} mended.\n", policy_path,
                     findings == 1 ? "this is" : fmt::format("these {} are", findings));
}

std::shared_ptr<const Engine> engine_or_stop(Loaded loaded, const std::string& policy_path) {
  using Refused = Loaded::Refused;
  switch (loaded.refused) {
    case Refused::no: return std::move(loaded.engine);
    case Refused::unreadable: throw Stop{file_trouble, render(loaded.problems)};
    case Refused::seal:
    case Refused::layout: throw Stop{not_so, std::move(loaded.problems.front())};
    case Refused::text:
    case Refused::proof: break;
  }
  const auto more =
      loaded.left_out == 0 ? "" : fmt::format("{} more of the same kind are left out.\n", loaded.left_out);
  throw Stop{not_so,
             fmt::format("{}\n{}{}", render(loaded.problems), more, refusal_of(policy_path, loaded.problems.size()))};
}

std::shared_ptr<const Engine> engine_for(const std::string& policy_path) {
  return engine_or_stop(load_policy(policy_path, Proving::required), policy_path);
}
std::shared_ptr<const Engine> unproved_engine_for(const std::string& policy_path) {
  return engine_or_stop(load_policy(policy_path, Proving::not_yet), policy_path);
}

std::string text_from(const std::string& path) {
  if (path == "-") {
    // One byte past the limit is enough for those who read it to refuse it.
    std::string text(grammar::largest_file + 1, '\0');
    std::cin.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(std::cin.gcount()));
    return text;
  }
  auto read = compiler::read_text_file(path);
  if (!read) throw Stop{file_trouble, fmt::format("'{}' can't be read: {}.\n", path, read.problem().message)};
  return std::move(*read);
}

namespace {

// So that a new name in it lasts. A folder that may be written but not read can't be opened, and is left to the disk.
int flush_folder_of(const std::string& path) {
  const auto folder = fs::path(path).parent_path();
  const int opened = ::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (opened < 0) return 0;
  const int error = flush_folder(opened);
  ::close(opened);
  return error;
}

}  // namespace

void write_file(const std::string& path, std::string_view text) {
  // The rename below would replace a device or fail on a folder, so only plain files are written.
  std::error_code unknown;
  if (fs::exists(path, unknown) && !fs::is_regular_file(path, unknown))
    throw Stop{file_trouble, fmt::format("'{}' can't be written: it is no plain file.\n", path)};
  const auto temporary = fmt::format("{}.{}.part", path, ::getpid());
  ::unlink(temporary.c_str());  // what a program of this number left that was ended
  int error = write_flushed(AT_FDCWD, temporary, text);
  if (error == 0 && ::rename(temporary.c_str(), path.c_str()) != 0) {
    error = errno;
    ::unlink(temporary.c_str());
  }
  if (error == 0) error = flush_folder_of(path);
  if (error != 0) throw Stop{file_trouble, fmt::format("'{}' can't be written: {}.\n", path, std::strerror(error))};
}

void refuse_to_overwrite(const std::string& path) {
  std::error_code unknown;
  if (fs::exists(path, unknown))
    throw Stop{file_trouble, fmt::format("'{}' is there already, and is left as it is; name another file.\n", path)};
}

void write_new_file(const std::string& path, std::string_view text) {
  refuse_to_overwrite(path);
  write_file(path, text);
  print(fmt::format("{} is written.\n", path));
}

namespace {

// Help is asked for by `--help` wherever it stands, and by `help` before a command.
std::optional<std::string> help_for(const std::vector<std::string>& words) {
  const bool first = words.empty() || words.front() == "help";
  if (!first && std::find(words.begin(), words.end(), help_option().name) == words.end()) return std::nullopt;
  const auto name = !first ? words.front() : words.size() > 1 ? words[1] : "";
  if (name.empty() || name.front() == '-') return help_of_program(commands());
  const auto* command = command_called(commands(), name);
  if (!command) refuse_command(commands(), name);
  return help_of(*command);
}

int run_words(const std::vector<std::string>& words) {
  if (const auto help = help_for(words)) {
    print(*help);
    return all_well;
  }
  const auto request = parse(commands(), words);
  if (request.version)
    print(fmt::format("lacestay {}\n", version()));
  else if (request.completion)
    print(completion_for(commands(), *request.completion));
  else if (request.command)
    return request.command->run(request.words);
  else
    print(help_of_program(commands()));
  return all_well;
}

// Tells what was thrown, within the handler that caught it; the exit code.
int told_exception() {
  try {
    throw;
  } catch (const Stop& stop) {
    print_problem(render(stop.problem()));
    return stop.code();
  } catch (const Error& error) {
    print_problem(render(error.problem()));
    return exit_code_of(error.problem());
  } catch (const fs::filesystem_error& error) {
    print_problem(fmt::format("'{}' can't be used: {}.\n", error.path1().string(), error.code().message()));
    return file_trouble;
  } catch (const std::bad_alloc&) {
    print_problem("There is not enough memory to go on.\n");
    return own_fault;
  } catch (const std::exception& fault) {
    print_problem(fmt::format("{}.\n", fault.what()));
    return own_fault;
  }
}

}  // namespace

int run(int count, const char* const* words) noexcept {
  try {
    try {
      return run_words({words + std::min(count, 1), words + count});
    } catch (...) {
      return told_exception();
    }
  } catch (...) {
    // What is no std::exception, or where even the telling failed: a text that needs no memory.
    print_problem("lacestay could not go on, and can't say why.\n");
    return own_fault;
  }
}

}  // namespace lacestay::runtime
