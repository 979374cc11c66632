#include "faulty_disk.h"

#include <sqlite3.h>
#include <string.h>

static struct {
    bool broken;
    Fault fault;
    int left; // requests that still succeed
    bool refused;
} disk;

// Our file, with the system's behind it.
typedef struct FaultyFile {
    sqlite3_file own;
    sqlite3_file *real;
} FaultyFile;

static sqlite3_file *real_of(sqlite3_file *file)
{
    return ((FaultyFile *)file)->real;
}

static bool fails(Fault kind)
{
    if (!disk.broken || (disk.fault != kind && disk.fault != FAULT_ALL)) {
        return false;
    }
    if (disk.left > 1) {
        disk.left--;
        return false;
    }
    disk.refused = true;
    return true;
}

static int close_file(sqlite3_file *file)
{
    return real_of(file)->pMethods->xClose(real_of(file));
}

static int read_file(sqlite3_file *file, void *data, int count, sqlite3_int64 at)
{
    // Only a disk that has gone refuses to read, and counts it.
    if (disk.fault == FAULT_ALL && fails(FAULT_ALL)) {
        return SQLITE_IOERR_READ;
    }
    return real_of(file)->pMethods->xRead(real_of(file), data, count, at);
}

static int write_file(sqlite3_file *file, const void *data, int count, sqlite3_int64 at)
{
    if (fails(FAULT_FULL)) {
        return disk.fault == FAULT_ALL ? SQLITE_IOERR_WRITE : SQLITE_FULL;
    }
    return real_of(file)->pMethods->xWrite(real_of(file), data, count, at);
}

static int truncate_file(sqlite3_file *file, sqlite3_int64 size)
{
    return fails(FAULT_ALL) ? SQLITE_IOERR_TRUNCATE
                            : real_of(file)->pMethods->xTruncate(real_of(file), size);
}

static int sync_file(sqlite3_file *file, int flags)
{
    return fails(FAULT_SYNC) ? SQLITE_IOERR_FSYNC
                             : real_of(file)->pMethods->xSync(real_of(file), flags);
}

static int size_of_file(sqlite3_file *file, sqlite3_int64 *size)
{
    return real_of(file)->pMethods->xFileSize(real_of(file), size);
}

static int lock_file(sqlite3_file *file, int level)
{
    return real_of(file)->pMethods->xLock(real_of(file), level);
}

static int unlock_file(sqlite3_file *file, int level)
{
    return real_of(file)->pMethods->xUnlock(real_of(file), level);
}

static int check_lock(sqlite3_file *file, int *held)
{
    return real_of(file)->pMethods->xCheckReservedLock(real_of(file), held);
}

static int control_file(sqlite3_file *file, int code, void *value)
{
    return real_of(file)->pMethods->xFileControl(real_of(file), code, value);
}

static int sector_of(sqlite3_file *file)
{
    return real_of(file)->pMethods->xSectorSize(real_of(file));
}

static int traits_of(sqlite3_file *file)
{
    return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}

static int map_shared(sqlite3_file *file, int page, int size, int extend, void volatile **memory)
{
    return real_of(file)->pMethods->xShmMap(real_of(file), page, size, extend, memory);
}

static int lock_shared(sqlite3_file *file, int from, int count, int flags)
{
    return real_of(file)->pMethods->xShmLock(real_of(file), from, count, flags);
}

static void order_shared(sqlite3_file *file)
{
    real_of(file)->pMethods->xShmBarrier(real_of(file));
}

static int unmap_shared(sqlite3_file *file, int erase)
{
    return real_of(file)->pMethods->xShmUnmap(real_of(file), erase);
}

static const sqlite3_io_methods methods = {
    .iVersion = 2,
    .xClose = close_file,
    .xRead = read_file,
    .xWrite = write_file,
    .xTruncate = truncate_file,
    .xSync = sync_file,
    .xFileSize = size_of_file,
    .xLock = lock_file,
    .xUnlock = unlock_file,
    .xCheckReservedLock = check_lock,
    .xFileControl = control_file,
    .xSectorSize = sector_of,
    .xDeviceCharacteristics = traits_of,
    .xShmMap = map_shared,
    .xShmLock = lock_shared,
    .xShmBarrier = order_shared,
    .xShmUnmap = unmap_shared,
};

static sqlite3_vfs *real_disk;

static int open_file(sqlite3_vfs *own, const char *name, sqlite3_file *file, int flags, int *got)
{
    (void)own;
    FaultyFile *faulty = (FaultyFile *)file;
    faulty->real = (sqlite3_file *)(faulty + 1);
    faulty->own.pMethods = NULL;
    const int code = real_disk->xOpen(real_disk, name, faulty->real, flags, got);
    if (faulty->real->pMethods) {
        faulty->own.pMethods = &methods;
    }
    return code;
}

bool faulty_disk_install(void)
{
    static sqlite3_vfs faulty;
    if (real_disk) {
        return true;
    }
    real_disk = sqlite3_vfs_find(NULL);
    if (!real_disk) {
        return false;
    }
    faulty = *real_disk; // all else as the system has it
    faulty.zName = "faulty";
    faulty.szOsFile = (int)sizeof(FaultyFile) + real_disk->szOsFile;
    faulty.xOpen = open_file;
    faulty.pNext = NULL;
    return sqlite3_vfs_register(&faulty, 1) == SQLITE_OK;
}

void faulty_disk_break(Fault fault, int after)
{
    disk.broken = true;
    disk.fault = fault;
    disk.left = after;
    disk.refused = false;
}

void faulty_disk_mend(void)
{
    disk.broken = false;
}

bool faulty_disk_refused(void)
{
    return disk.refused;
}
