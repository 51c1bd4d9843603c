#include "runtime/seal/sealed_policy.hpp"

#include <fmt/format.h>

#include "runtime/base/sha256.hpp"
#include "runtime/base/version.hpp"
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
  document[version_key] = policy.origin ? policy.origin->compiled_by : version();
  document[sources_key] = keeper.sources();
  return document;
}

// With its fingerprint.
std::string sealed(SealedJson document) {
  document.erase(sha256_key);
  document[sha256_key] = sha256(canonical(document));
  return canonical(document);
}

Problem refused(std::string clause, const char* code = "sealed-1") { return {code, std::move(clause)}; }

}  // namespace

std::string seal(const Policy& policy) { return sealed(document_of(policy)); }

Result<Unsealed> unseal(std::string_view text) {
  if (text.size() > largest_sealed)
    return refused(fmt::format("it has more than {} MiB, which is the most that is read", largest_sealed >> 20));
  auto document = parsed(text);
  if (!document || !document->is_object()) return refused("it is no JSON object, so it was cut short or changed");
  const auto format = document->find(format_key);
  if (format == document->end() || !format->is_number_integer())
    return refused("it does not say in which form it is written, so it is no sealed policy");
  if (sealed(*document) != text) return refused("it was changed after it was sealed: its fingerprint does not fit it");
  if (*format != sealed_format)
    return refused(fmt::format("it is written in form {}, this lacestay reads form {}", format->dump(), sealed_format),
                   of_another_form);

  auto policy = std::make_shared<Policy>();
  const auto version = document->find(version_key), sources = document->find(sources_key);
  if (version == document->end() || !version->is_string() || sources == document->end())
    return refused("it does not say what it was made from");
  try {
    SourceRebuilder rebuilt(*sources);
    SealReader(rebuilt).read_fields(*document, *policy);
    constexpr auto fields = std::tuple_size_v<std::remove_cvref_t<decltype(fields_of<Policy>)>>;
    if (document->size() != fields + own_keys) throw SealedFault("it has keys that the form does not know");
    policy->sources = std::move(rebuilt.sources);
    policy->origin = {version->get<std::string>(), std::move(rebuilt.texts_sha256)};
    hold_together(*policy);
    // Everything else has been checked, so the only way to differ from the document sealed anew is a source line that
    // no span needs.
    if (seal(*policy) != text) throw SealedFault("sources keeps more of the text than it needs");
  } catch (const SealedFault& fault) {
    return refused("it does not hang together: " + fault.problem().message);
  }
  return Unsealed{std::move(policy), (*document)[sha256_key].get<std::string>()};
}

std::string sha256_in(std::string_view text) {
  const auto document = parsed(text);
  if (!document || !document->is_object()) return "";
  const auto held = document->find(sha256_key);
  return held != document->end() && held->is_string() ? held->get<std::string>() : "";
}

}  // namespace lacestay::runtime
