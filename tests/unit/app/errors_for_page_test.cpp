// Errors as a page shows them: whole sentences without how things are typed on the command line.
#include <gtest/gtest.h>

#include "app/book_reading.h"
#include "app/enter.h"
#include "app/field.h"
#include "core/typed.h"

namespace headroom {
namespace {

TEST(ErrorsForPage, SayWhatIsMissingWithoutACommand) {
  const State empty;
  const auto no_field = find_field(empty, "meadow");
  ASSERT_FALSE(no_field);
  EXPECT_EQ(without_typed(no_field.error().what), "no field is described in this book yet");
  EXPECT_EQ(with_typed(no_field.error().what), "no field is described in this book yet; headroom field describe NAME");
  FieldState field;
  field.name = "meadow";
  const auto no_strip = find_strip(field, "");
  ASSERT_FALSE(no_strip);
  EXPECT_EQ(without_typed(no_strip.error().what), "meadow has no strip yet");
  const auto no_pilot = Subjects(empty).pilot("");
  ASSERT_FALSE(no_pilot);
  EXPECT_EQ(without_typed(no_pilot.error().what), "there is no pilot in the book yet");
  const BookReading book;
  const auto no_entry = find_entry(book, "7");
  ASSERT_FALSE(no_entry);
  EXPECT_EQ(without_typed(no_entry.error().what), "there is no entry 7; the book holds 0");
  const auto no_word = find_entry(book, "meadow");
  ASSERT_FALSE(no_word);
  EXPECT_EQ(without_typed(no_word.error().what), "'meadow' names no entry; give its number, or the beginning of its id");
}

}  // namespace
}  // namespace headroom
