#pragma once
// A flight told in sentences, in the order of the engine: what people read, on a terminal and on a page.
#include <vector>

#include "core/sentence.h"
#include "core/track/detail.h"

namespace headroom {

struct StoryLine {
  UtcTime begin{}, end{};
  Phase phase = Phase::on_foot;
  Power power = Power::ground;
  Sentence text;  // without its times
};

// From the ground before launch to the ground after landing. A long flight has hundreds of stretches: short ones are told as
// part of their longer neighbour until `most` lines are left (0: all of them).
[[nodiscard]] std::vector<StoryLine> tell_story(const FlightDetail& detail, std::size_t most);

// Wind and engine in a sentence each: what is known of them, with spread, or why it is not.
[[nodiscard]] Sentence wind_sentence(const FlightDetail& detail);
[[nodiscard]] std::vector<Sentence> engine_sentences(const FlightDetail& detail);
// One a layer: "200 m to 300 m: from 240°, 14 km/h, give or take 2 km/h."
[[nodiscard]] std::vector<Sentence> layer_sentences(const FlightDetail& detail);

}  // namespace headroom
