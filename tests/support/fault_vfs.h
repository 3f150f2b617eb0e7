#pragma once
// An SQLite VFS over the system's own, of which any step that changes the disk can be made to fail.
#include <sqlite3.h>

namespace headroom {

struct FaultVfs {
  static constexpr const char* name = "headroom-fault";
  static void install();          // once; further calls do nothing
  static inline int steps = 0;    // opens, writes, truncations, syncs, deletions and index growths since the last arm
  static inline int fail_at = 0;  // which of them fails, from 1; 0: none
  static inline int code = SQLITE_IOERR_WRITE;
  static inline bool stays = false;  // every later one fails too, as on a dead or full disk
  static inline bool fired = false;
  static void arm(int at, int error_code, bool for_good) {
    steps = 0;
    fail_at = at;
    code = error_code;
    stays = for_good;
    fired = false;
  }
  static void disarm() { arm(0, SQLITE_OK, false); }
  static bool fails() {
    ++steps;
    const bool now = fail_at != 0 && (stays ? steps >= fail_at : steps == fail_at);
    fired = fired || now;
    return now;
  }
};

}  // namespace headroom
