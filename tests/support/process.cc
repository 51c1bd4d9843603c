#include "tests/support/process.hpp"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstring>
#include <exception>
#include <stdexcept>
#include <utility>

extern char** environ;

namespace lacestay::tests {

namespace {

constexpr int silent_ms = 300'000;

// Both ends above the standard streams, so that putting one in place of a stream can't close another.
void open_pipe(int (&ends)[2]) {
  if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
  for (int& end : ends) {
    const int above = ::fcntl(end, F_DUPFD_CLOEXEC, 10);
    ::close(end);
    end = above;
  }
}

void close_end(int& end) {
  if (end >= 0) ::close(end);
  end = -1;
}

std::vector<char*> pointers_to(std::vector<std::string>& texts) {
  std::vector<char*> all;
  for (auto& text : texts) all.push_back(text.data());
  all.push_back(nullptr);
  return all;
}

// How it ended goes to `ran`.
void wait_for(pid_t process, Ran& ran) {
  int status = 0;
  ::waitpid(process, &status, 0);
  if (WIFEXITED(status)) ran.code = WEXITSTATUS(status);
  if (WIFSIGNALED(status)) ran.signal = WTERMSIG(status);
}

// Variables of the same name that come later are not seen.
std::vector<std::string> environment_of(const Way& way) {
  auto all = way.environment;
  for (auto** each = environ; *each; ++each) {
    const std::string one = *each, name = one.substr(0, one.find('=') + 1);
    const auto given = [&](const std::string& other) { return other.rfind(name, 0) == 0; };
    if (std::none_of(way.environment.begin(), way.environment.end(), given)) all.push_back(one);
  }
  return all;
}

// Its streams are these ends. A child inherits what is ignored: it is to meet SIGPIPE as a shell hands it over.
pid_t start(std::vector<std::string> words, const Way& way, int in, int out, int err) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_adddup2(&actions, in, 0);
  posix_spawn_file_actions_adddup2(&actions, out, 1);
  posix_spawn_file_actions_adddup2(&actions, err, 2);
  if (!way.folder.empty()) posix_spawn_file_actions_addchdir_np(&actions, way.folder.c_str());
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  sigset_t defaults;
  sigemptyset(&defaults);
  sigaddset(&defaults, SIGPIPE);
  posix_spawnattr_setsigdefault(&attributes, &defaults);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGDEF);
  auto environment = environment_of(way);
  pid_t child = 0;
  const int failed = ::posix_spawnp(&child, words.front().c_str(), &actions, &attributes, pointers_to(words).data(),
                                    pointers_to(environment).data());
  posix_spawn_file_actions_destroy(&actions);
  posix_spawnattr_destroy(&attributes);
  if (failed != 0) throw std::runtime_error(words.front() + " can't be run: " + std::strerror(failed));
  return child;
}

}  // namespace

Ran run_program(const std::vector<std::string>& words, const Way& way) {
  ::signal(SIGPIPE, SIG_IGN);
  int in[2], out[2], err[2];
  for (auto* ends : {&in, &out, &err}) open_pipe(*ends);
  const auto child = start(words, way, in[0], out[1], err[1]);
  for (int end : {in[0], out[1], err[1]}) ::close(end);

  Ran ran;
  std::size_t sent = 0;
  ::fcntl(in[1], F_SETFL, O_NONBLOCK);
  if (way.input.empty()) close_end(in[1]);
  bool silent = false;
  while (!silent && (out[0] >= 0 || err[0] >= 0)) {
    std::array<pollfd, 3> ends = {pollfd{out[0], POLLIN, 0}, pollfd{err[0], POLLIN, 0}, pollfd{in[1], POLLOUT, 0}};
    if (::poll(ends.data(), ends.size(), silent_ms) <= 0) {
      silent = true;
      ::kill(child, SIGKILL);
    }
    const auto take = [&](const pollfd& ready, int& end, std::string& text, std::size_t most) {
      if (end < 0 || ready.revents == 0) return;
      std::array<char, 65536> buffer;
      const auto got = ::read(end, buffer.data(), std::min(buffer.size(), most - text.size()));
      if (got > 0) text.append(buffer.data(), static_cast<std::size_t>(got));
      if (got <= 0 || text.size() >= most) close_end(end);
    };
    take(ends[0], out[0], ran.out, way.read_at_most);
    take(ends[1], err[0], ran.err, std::string::npos);
    if (in[1] >= 0 && ends[2].revents != 0) {
      const auto wrote = ::write(in[1], way.input.data() + sent, way.input.size() - sent);
      if (wrote > 0) sent += static_cast<std::size_t>(wrote);
      if (wrote < 0 || sent == way.input.size()) close_end(in[1]);
    }
  }
  for (int* end : {&in[1], &out[0], &err[0]}) close_end(*end);
  wait_for(child, ran);
  if (silent) throw std::runtime_error(words.front() + " said nothing for five minutes");
  return ran;
}

Ran run_shell(const std::string& line, const Way& way) { return run_program({"sh", "-c", line}, way); }

bool installed(const std::string& name) { return run_program({"sh", "-c", "command -v \"$0\"", name}).code == 0; }

Forked::Forked(const std::function<int(const Say&)>& work) {
  int said[2];
  open_pipe(said);
  process_ = ::fork();
  if (process_ < 0) throw std::runtime_error("no process");
  if (process_ == 0) {
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);  // nothing goes on when the test is stopped
    ::close(said[0]);
    int code = 99;
    try {
      code = work([&](std::string_view bytes) {
        while (!bytes.empty()) {
          const auto wrote = ::write(said[1], bytes.data(), bytes.size());
          if (wrote < 0) throw std::runtime_error("nobody listens");
          bytes.remove_prefix(static_cast<std::size_t>(wrote));
        }
      });
    } catch (const std::exception& thrown) {
      std::fprintf(stderr, "in a process of its own: %s\n", thrown.what());
    } catch (...) {
      std::fputs("in a process of its own: something is thrown\n", stderr);
    }
    ::_exit(code);
  }
  ::close(said[1]);
  said_ = said[0];
}

Forked::Forked(const std::function<int()>& work) : Forked([&](const Say&) { return work(); }) {}

Forked::Forked(Forked&& other) noexcept
    : process_(std::exchange(other.process_, 0)), said_(std::exchange(other.said_, -1)) {}

Forked::~Forked() {
  if (process_ != 0) killed();
}

Ran Forked::ended() {
  Ran ran;
  std::array<char, 4096> some;
  for (ssize_t got = 0; (got = ::read(said_, some.data(), some.size())) > 0;)
    ran.out.append(some.data(), static_cast<std::size_t>(got));
  close_end(said_);
  wait_for(std::exchange(process_, 0), ran);
  return ran;
}

Ran Forked::killed() {
  ::kill(process_, SIGKILL);
  return ended();
}

}  // namespace lacestay::tests
