#include "support/fault_vfs.h"

#include <new>

namespace headroom {
namespace {

struct FaultFile {
  sqlite3_file base;
  sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

FaultFile* fault_file(sqlite3_file* f) {
  return reinterpret_cast<FaultFile*>(f);
}
sqlite3_file* real_file(sqlite3_file* f) {
  return fault_file(f)->real();
}
sqlite3_vfs* real_vfs(sqlite3_vfs* v) {
  return static_cast<sqlite3_vfs*>(v->pAppData);
}

int fault_close(sqlite3_file* f) {
  return real_file(f)->pMethods->xClose(real_file(f));
}
int fault_read(sqlite3_file* f, void* p, int n, sqlite3_int64 at) {
  return real_file(f)->pMethods->xRead(real_file(f), p, n, at);
}
int fault_write(sqlite3_file* f, const void* p, int n, sqlite3_int64 at) {
  if (FaultVfs::fails()) {
    // Half of it reaches the disk.
    static_cast<void>(real_file(f)->pMethods->xWrite(real_file(f), p, n / 2, at));
    return FaultVfs::code;
  }
  return real_file(f)->pMethods->xWrite(real_file(f), p, n, at);
}
int fault_truncate(sqlite3_file* f, sqlite3_int64 size) {
  if (FaultVfs::fails()) return FaultVfs::code == SQLITE_FULL ? SQLITE_FULL : SQLITE_IOERR_TRUNCATE;
  return real_file(f)->pMethods->xTruncate(real_file(f), size);
}
int fault_sync(sqlite3_file* f, int flags) {
  if (FaultVfs::fails()) return FaultVfs::code == SQLITE_FULL ? SQLITE_FULL : SQLITE_IOERR_FSYNC;
  static_cast<void>(f);
  static_cast<void>(flags);
  return SQLITE_OK;  // these tests cut no power: a real sync would only cost time
}
int fault_size(sqlite3_file* f, sqlite3_int64* size) {
  return real_file(f)->pMethods->xFileSize(real_file(f), size);
}
int fault_lock(sqlite3_file* f, int level) {
  return real_file(f)->pMethods->xLock(real_file(f), level);
}
int fault_unlock(sqlite3_file* f, int level) {
  return real_file(f)->pMethods->xUnlock(real_file(f), level);
}
int fault_check(sqlite3_file* f, int* out) {
  return real_file(f)->pMethods->xCheckReservedLock(real_file(f), out);
}
int fault_control(sqlite3_file* f, int op, void* arg) {
  return real_file(f)->pMethods->xFileControl(real_file(f), op, arg);
}
int fault_sector(sqlite3_file* f) {
  return real_file(f)->pMethods->xSectorSize(real_file(f));
}
int fault_traits(sqlite3_file* f) {
  return real_file(f)->pMethods->xDeviceCharacteristics(real_file(f));
}
int fault_shm_map(sqlite3_file* f, int region, int size, int extend, void volatile** out) {
  if (extend != 0 && FaultVfs::fails()) return FaultVfs::code == SQLITE_FULL ? SQLITE_FULL : SQLITE_IOERR_SHMSIZE;
  return real_file(f)->pMethods->xShmMap(real_file(f), region, size, extend, out);
}
int fault_shm_lock(sqlite3_file* f, int offset, int n, int flags) {
  return real_file(f)->pMethods->xShmLock(real_file(f), offset, n, flags);
}
void fault_shm_barrier(sqlite3_file* f) {
  real_file(f)->pMethods->xShmBarrier(real_file(f));
}
int fault_shm_unmap(sqlite3_file* f, int remove) {
  return real_file(f)->pMethods->xShmUnmap(real_file(f), remove);
}
int fault_fetch(sqlite3_file* f, sqlite3_int64 at, int n, void** out) {
  return real_file(f)->pMethods->xFetch(real_file(f), at, n, out);
}
int fault_unfetch(sqlite3_file* f, sqlite3_int64 at, void* p) {
  return real_file(f)->pMethods->xUnfetch(real_file(f), at, p);
}

const sqlite3_io_methods kMethods = {3,
                                     fault_close,
                                     fault_read,
                                     fault_write,
                                     fault_truncate,
                                     fault_sync,
                                     fault_size,
                                     fault_lock,
                                     fault_unlock,
                                     fault_check,
                                     fault_control,
                                     fault_sector,
                                     fault_traits,
                                     fault_shm_map,
                                     fault_shm_lock,
                                     fault_shm_barrier,
                                     fault_shm_unmap,
                                     fault_fetch,
                                     fault_unfetch};

int fault_open(sqlite3_vfs* v, const char* path, sqlite3_file* f, int flags, int* out) {
  f->pMethods = nullptr;
  if (FaultVfs::fails()) return FaultVfs::code == SQLITE_FULL ? SQLITE_FULL : SQLITE_CANTOPEN;
  const int rc = real_vfs(v)->xOpen(real_vfs(v), path, real_file(f), flags, out);
  if (real_file(f)->pMethods != nullptr) f->pMethods = &kMethods;
  return rc;
}
int fault_delete(sqlite3_vfs* v, const char* path, int sync) {
  if (FaultVfs::fails()) return SQLITE_IOERR_DELETE;
  return real_vfs(v)->xDelete(real_vfs(v), path, sync);
}

}  // namespace

void FaultVfs::install() {
  static sqlite3_vfs vfs;
  if (vfs.zName != nullptr) return;
  sqlite3_vfs* real = sqlite3_vfs_find(nullptr);
  vfs = *real;  // what is not replaced works on the real one's own data
  vfs.zName = name;
  vfs.pNext = nullptr;
  vfs.szOsFile = static_cast<int>(sizeof(FaultFile)) + real->szOsFile;
  vfs.pAppData = real;
  vfs.xOpen = fault_open;
  vfs.xDelete = fault_delete;
  vfs.xAccess = [](sqlite3_vfs* v, const char* p, int flags, int* out) {
    return real_vfs(v)->xAccess(real_vfs(v), p, flags, out);
  };
  vfs.xFullPathname = [](sqlite3_vfs* v, const char* p, int n, char* out) {
    return real_vfs(v)->xFullPathname(real_vfs(v), p, n, out);
  };
  sqlite3_vfs_register(&vfs, 0);
}

}  // namespace headroom
