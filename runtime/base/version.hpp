// Which lacestay this is.
#pragma once

namespace lacestay::runtime {

// "0.1.0", as CMakeLists.txt has it.
[[nodiscard]] const char* version();

}  // namespace lacestay::runtime
