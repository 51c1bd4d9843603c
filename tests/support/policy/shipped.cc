#include "tests/support/policy/shipped.hpp"

#include <filesystem>

#include "tests/support/folder.hpp"
#include "tests/support/places.hpp"
#include "tests/support/policy/compiled.hpp"

namespace lacestay::tests {

const runtime::Engine& shipped() {
  static const auto built = engine_of(shipped_policy("northgate.fitting"));
  return *built;
}

const naive::Policy& naive_shipped() {
  static const auto policy = [] {
    std::vector<naive::TextFile> files = {{"northgate.fitting", bytes_of(in_policies("northgate.fitting"))}};
    for (const std::string folder : {"northgate", "house_rules"})
      for (const auto& entry : std::filesystem::directory_iterator(in_policies(folder)))
        if (entry.is_regular_file())
          files.push_back({folder + "/" + entry.path().filename().string(), bytes_of(entry.path())});
    return naive::prepare(files);
  }();
  return policy;
}

}  // namespace lacestay::tests
