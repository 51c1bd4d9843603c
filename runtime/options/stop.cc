#include "runtime/options/stop.hpp"

namespace lacestay::runtime {

Stop::Stop(ExitCode code, std::string told)
    : Error(Problem{"", told.ends_with('\n') ? told.substr(0, told.size() - 1) : std::move(told)}), code_(code) {}

}  // namespace lacestay::runtime
