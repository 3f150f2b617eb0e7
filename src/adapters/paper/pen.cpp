#include "adapters/paper/pen.h"

#include <algorithm>
#include <array>
#include <numbers>

namespace headroom {

void Pen::use(Ink ink, double width) {
  // As on the pages; what is written in is at least 7:1 against paper.
  constexpr std::array<std::array<double, 3>, 7> kInks = {{{0.082, 0.098, 0.110},
                                                           {0.290, 0.330, 0.365},
                                                           {0.70, 0.73, 0.75},
                                                           {0.90, 0.91, 0.92},
                                                           {0.85, 0.87, 0.88},
                                                           {0.169, 0.290, 0.608},
                                                           {1, 1, 1}}};
  const auto& c = kInks[static_cast<std::size_t>(ink)];
  lib_.set_source_rgb(cr_, c[0], c[1], c[2]);
  lib_.set_line_width(cr_, width);
}

void Pen::line(double x1, double y1, double x2, double y2, Ink ink, double width) {
  path({{x1, y1}, {x2, y2}}, ink, width);
}

void Pen::path(const Points& points, Ink ink, double width, bool dashed) {
  if (points.empty()) return;
  use(ink, width);
  constexpr std::array<double, 2> kDash = {6, 3};
  lib_.set_dash(cr_, kDash.data(), dashed ? 2 : 0, 0);
  lib_.new_path(cr_);
  for (const auto& [x, y] : points) lib_.line_to(cr_, x, y);
  lib_.stroke(cr_);
  lib_.set_dash(cr_, kDash.data(), 0, 0);
}

void Pen::fill(const Points& outline, Ink ink) {
  use(ink, 1);
  lib_.new_path(cr_);
  for (const auto& [x, y] : outline) lib_.line_to(cr_, x, y);
  lib_.close_path(cr_);
  lib_.fill(cr_);
}

void Pen::box(const PlotBox& b, Ink ink) {
  fill({{b.left, b.top}, {b.right, b.top}, {b.right, b.bottom}, {b.left, b.bottom}}, ink);
}

void Pen::open_circle(double x, double y, double radius) {
  lib_.new_path(cr_);
  lib_.arc(cr_, x, y, radius, 0, 2 * std::numbers::pi);
  use(Ink::paper, 1);
  lib_.fill(cr_);
  lib_.new_path(cr_);
  lib_.arc(cr_, x, y, radius, 0, 2 * std::numbers::pi);
  use(Ink::ink, 1.6);
  lib_.stroke(cr_);
}

void Pen::dotted(double x1, double y1, double x2, double y2, double width) {
  constexpr std::array<double, 2> kDots = {2, 3};
  lib_.set_dash(cr_, kDots.data(), 2, 0);
  use(Ink::ink, width);
  lib_.new_path(cr_);
  lib_.move_to(cr_, x1, y1);
  lib_.line_to(cr_, x2, y2);
  lib_.stroke(cr_);
  lib_.set_dash(cr_, kDots.data(), 0, 0);
}

void Pen::hatch(const PlotBox& b) {
  constexpr double kStep = 8;
  const double tall = b.bottom - b.top;
  within(b);
  use(Ink::rule, 1);
  lib_.new_path(cr_);
  // From a common zero, so that the hatching of neighbours runs on.
  for (double x = kStep * static_cast<int>((b.left - tall) / kStep); x < b.right; x += kStep) {
    lib_.move_to(cr_, x, b.bottom);
    lib_.line_to(cr_, x + tall, b.top);
  }
  lib_.stroke(cr_);
  done();
}

void Pen::text(double x, double y, double size, std::string_view words, Side side, Ink ink, bool bold) {
  const std::string kept(words);
  lib_.select_font_face(cr_, "sans-serif", CAIRO_FONT_SLANT_NORMAL, bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  const double back = side == Side::left ? 0 : width_of(words, size) * (side == Side::middle ? 0.5 : 1.0);
  use(ink, 1);
  lib_.set_font_size(cr_, size);
  lib_.move_to(cr_, x - back, y);
  lib_.show_text(cr_, kept.c_str());
  lib_.new_path(cr_);
  lib_.select_font_face(cr_, "sans-serif", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
}

double Pen::width_of(std::string_view words, double size) {
  const std::string kept(words);
  cairo_text_extents_t extents{};
  lib_.set_font_size(cr_, size);
  lib_.text_extents(cr_, kept.c_str(), &extents);
  return extents.x_advance;
}

std::vector<std::string> Pen::broken(std::string_view words, double size, double width) {
  std::vector<std::string> lines;
  while (!words.empty()) {
    const auto space = words.find(' ');
    const auto word = words.substr(0, space);
    words.remove_prefix(space == std::string_view::npos ? words.size() : space + 1);
    if (word.empty()) continue;
    const auto longer = lines.empty() ? std::string(word) : lines.back() + " " + std::string(word);
    if (lines.empty() || width_of(longer, size) > width)
      lines.emplace_back(word);
    else
      lines.back() = longer;
  }
  return lines;
}

void Pen::within(const PlotBox& b) {
  lib_.save(cr_);
  lib_.new_path(cr_);
  lib_.rectangle(cr_, b.left, b.top, b.right - b.left, b.bottom - b.top);
  lib_.clip(cr_);
}

}  // namespace headroom
