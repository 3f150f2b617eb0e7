#include <cstdio>

int main() {
  std::puts("headroom");
  return 0;
}
