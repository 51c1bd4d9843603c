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

// A sealed policy is written again in the form it came in.
int form_of(const Policy& policy) { return policy.origin ? policy.origin->form : sealed_format; }

// What a document of an older form meant, where that is no default.
void read_as_form(Policy& policy, int form) {
  if (form >= 2) return;
  policy.tables.safety_reaches_items = false;
  for (auto& sure : policy.sures) sure.advice_alone = true;
}

SealedJson document_of(const Policy& policy) {
  SourceKeeper keeper(policy);
  auto document = SealWriter(keeper, form_of(policy)).write(policy);
  document[format_key] = form_of(policy);
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
  if (*format < oldest_sealed_format || *format > sealed_format)
    return refused(fmt::format("it is written in form {}, this lacestay reads forms {} to {}", format->dump(),
                               oldest_sealed_format, sealed_format),
                   of_another_form);
  const auto form = format->get<int>();

  auto policy = std::make_shared<Policy>();
  const auto version = document->find(version_key), sources = document->find(sources_key);
  if (version == document->end() || !version->is_string() || sources == document->end())
    return refused("it does not say what it was made from");
  try {
    SourceRebuilder rebuilt(*sources, form);
    SealReader(rebuilt, form).read_fields(*document, *policy);
    read_as_form(*policy, form);
    if (document->size() != keys_in<Policy>(form) + own_keys)
      throw SealedFault("it has keys that the form does not know");
    policy->sources = std::move(rebuilt.sources);
    policy->origin = {form, version->get<std::string>(), std::move(rebuilt.texts_sha256)};
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
