// The sealed policy: a compiled policy as one canonical JSON document, its fingerprint inside. It loads without the
// policy's text and answers every player as the policy does that was compiled from it: advice, quotes, charts and the
// proof's findings, byte for byte.
//
// The seal says that a document is unaltered, not that its policy is right: whoever loads one proves it again. The form
// is published in sealed.schema.json and spelled as json.hpp says. Its `sha256` is that of the document without
// this member; any other byte, blanks and the order of keys included, is another document and is refused.
//
// What never changes from form to form is the spelling, `format` and `sha256`: so a document of a form that this
// lacestay does not read can still be held to its fingerprint.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "compiler/tables/policy.hpp"
#include "grammar/text/result.hpp"

namespace lacestay::runtime {

// Raised with any change of the form. A form of an older number keeps its meaning, since daybooks rest on what was
// sealed years ago: it is read, means what it meant, and is written again in its own form.
// 1: safety rules and packs bind the advice alone (Tables::safety_reaches_items), and a claim is of the advice alone.
// 2: rows say whether they bind items; claims, whether they are of the advice alone; a claim may name members.
// 3: what the language said anew on 30 November 2026; the schema says of which keys. A chart may work out a member.
// 4: what is asked of used goods alone, and used goods where no new ones are left.
inline constexpr int sealed_format = 4, oldest_sealed_format = 1;
// The largest document that is read: some sixty times the shipped policy's.
inline constexpr std::size_t largest_sealed = 32u << 20;

// The document, without a line end. Of a policy that was unsealed, the document it came from. Cost: linear; some
// 12 ms for the shipped policy.
[[nodiscard]] std::string seal(const compiler::Policy& policy);

struct Unsealed {
  std::shared_ptr<const compiler::Policy> policy;  // never null
  std::string sha256;                              // the document's own
};

// The code where a document is refused for its form's number alone: it is unaltered.
inline constexpr const char* of_another_form = "sealed-2";

// Or why it is refused: sealed-1 or `of_another_form`, with a clause about the document for the message, "it was …".
// Never throws for bad input, whoever made it: whatever loads can be asked and proved like any compiled policy. Cost:
// linear in the document, some 40 ms for the shipped policy.
Result<Unsealed> unseal(std::string_view document);

// Whether a text is meant to be a sealed policy, whatever is wrong with it: no policy's own text begins so.
[[nodiscard]] inline bool looks_sealed(std::string_view text) { return !text.empty() && text.front() == '{'; }

// The fingerprint a document gives of itself, be it right or wrong; empty where it gives none.
[[nodiscard]] std::string sha256_in(std::string_view document);

}  // namespace lacestay::runtime
