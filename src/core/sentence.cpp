#include "core/sentence.h"

namespace headroom {

std::string render(const Sentence& sentence, const std::function<std::string(const Amount&)>& figure) {
  const std::string& text = sentence.text;
  std::string out;
  out.reserve(text.size() + 32);
  for (std::size_t i = 0; i < text.size(); ++i) {
    std::size_t index = 0, at = i + 1;
    if (text[i] == '{') {
      while (at < text.size() && text[at] >= '0' && text[at] <= '9' && at < i + 4)
        index = index * 10 + static_cast<std::size_t>(text[at++] - '0');
      if (at > i + 1 && at < text.size() && text[at] == '}' && index < sentence.parts.size()) {
        const auto& part = sentence.parts[index];
        out += std::holds_alternative<Amount>(part) ? figure(std::get<Amount>(part)) : std::get<std::string>(part);
        i = at;
        continue;
      }
    }
    out += text[i];
  }
  return out;
}

}  // namespace headroom
