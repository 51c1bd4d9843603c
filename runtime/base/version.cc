#include "runtime/base/version.hpp"

namespace lacestay::runtime {

const char* version() { return LACESTAY_VERSION; }

}  // namespace lacestay::runtime
