#include "runtime/seal/sealed_policy.hpp"

#include <fmt/format.h>

#include "runtime/base/sha256.hpp"
#include "runtime/seal/archive.hpp"
#include "runtime/seal/faults.hpp"

namespace lacestay::runtime {

using compiler::Policy;

namespace {

// What the document says of itself, beside the fields of the policy.
constexpr auto format_key = "format", version_key = "lacestay", sha256_key = "sha256", sources_key = "sources";
constexpr std::size_t own_keys = 4;

SealedJson document_of(const Policy& policy) {
  SourceKeeper keeper(policy);
  auto document = SealWriter(keeper).write(policy);
  document[format_key] = sealed_format;
  document[version_key] = policy.origin ? policy.origin->compiled_by : LACESTAY_VERSION;
  document[sources_key] = keeper.sources();
  return document;
}

// With its fingerprint.
std::string sealed(SealedJson document) {
  document.erase(sha256_key);
  document[sha256_key] = sha256(canonical(document));
  return canonical(document);
}

Unsealed refused(std::string why) { return {nullptr, "", std::move(why), false}; }

}  // namespace

std::string seal(const Policy& policy) { return sealed(document_of(policy)); }

Unsealed unseal(std::string_view text) {
  if (text.size() > largest_sealed)
    return refused(fmt::format("it has more than {} MiB, which is the most that is read", largest_sealed >> 20));
  auto document = parsed(text);
  if (!document || !document->is_object()) return refused("it is no JSON object, so it was cut short or changed");
  const auto format = document->find(format_key);
  if (format == document->end() || !format->is_number_integer())
    return refused("it does not say in which form it is written, so it is no sealed policy");
  if (sealed(*document) != text) return refused("it was changed after it was sealed: its fingerprint does not fit it");
  if (*format != sealed_format) {
    auto other =
        refused(fmt::format("it is written in form {}, this lacestay reads form {}", format->dump(), sealed_format));
    other.other_form = true;
    return other;
  }

  auto policy = std::make_shared<Policy>();
  compiler::SealedOrigin origin;
  const auto version = document->find(version_key), sources = document->find(sources_key);
  if (version == document->end() || !version->is_string() || sources == document->end())
    return refused("it does not say what it was made from");
  SourceRebuilder rebuilt(*sources);
  if (!rebuilt.why().empty()) return refused("it does not hang together: " + rebuilt.why());
  try {
    SealReader(rebuilt).read_fields(*document, *policy);
  } catch (const Unreadable& fault) {
    return refused("it does not hang together: " + fault.what);
  }
  constexpr auto fields = std::tuple_size_v<std::remove_cvref_t<decltype(fields_of<Policy>)>>;
  if (document->size() != fields + own_keys)
    return refused("it does not hang together: it has keys that the form does not know");
  origin.compiled_by = version->get<std::string>();
  origin.texts_sha256 = std::move(rebuilt.texts_sha256);
  policy->sources = std::move(rebuilt.sources);
  policy->origin = std::move(origin);
  if (const auto fault = sealed_fault(*policy)) return refused("it does not hang together: " + *fault);
  // What is left could only be lines that no span points into.
  if (seal(*policy) != text) return refused("it does not hang together: sources keeps more of the text than it needs");
  return {std::move(policy), (*document)[sha256_key].get<std::string>(), "", false};
}

std::string sha256_in(std::string_view text) {
  const auto document = parsed(text);
  if (!document || !document->is_object()) return "";
  const auto held = document->find(sha256_key);
  return held != document->end() && held->is_string() ? held->get<std::string>() : "";
}

}  // namespace lacestay::runtime
