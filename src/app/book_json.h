#pragma once
// What stands in the book, as rows and in full, for programs and for the page.
#include <string>
#include <vector>

#include "app/book_list.h"
#include "app/book_reading.h"
#include "app/book_verify.h"
#include "app/session.h"
#include "formats/answer_json.h"

namespace headroom {

// What the entry says, as corrected; of a correction, what it corrects and why.
[[nodiscard]] std::string entry_said(const BookEntry& entry, const BookReading& book, const Session& session);
// " (amended by 20 and 21)", " (voided by 22)": what is in force; nothing for an entry that stands as written.
[[nodiscard]] std::string corrected_note(const BookEntry& entry);
// "Voided by entry 22 on 2026-05-02 18:30: "misread".", one for each correction in order of arrival, in force or not.
[[nodiscard]] std::vector<std::string> corrected_sentences(const BookEntry& entry, const Session& session, Clock& clock);
// docs/schemas/book-list.json, one of its entries.
[[nodiscard]] AnswerJson entry_row_json(const BookEntry& entry, const BookReading& book, const Session& session);
// docs/schemas/book-show.json.
[[nodiscard]] AnswerJson shown_entry_json(const BookEntry& entry, const ShownEntry& shown);
// docs/schemas/book-verify.json.
[[nodiscard]] AnswerJson verified_json(const VerifyAnswer& answer);

}  // namespace headroom
