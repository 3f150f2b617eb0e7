#pragma once
// Drawings in ink on paper, as SVG, by cairo.
#include "app/ports.h"

namespace headroom {

class CairoPaper : public Paper {
 public:
  // The same plot gives the same bytes on one machine; its fonts are that machine's, drawn as outlines.
  [[nodiscard]] Result<std::string> draw(const FlightPlot& plot) override;
};

}  // namespace headroom
