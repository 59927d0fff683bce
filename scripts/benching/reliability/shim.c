/* Stands between a program and the files under one folder: writes down what it does to them, and fails
 * what it is told to fail. Loaded with LD_PRELOAD; see shim.py, which compiles it and reads what it wrote.
 *
 *   SHIM_UNDER    the folder (absolute, without a slash at its end)
 *   SHIM_JOURNAL  file to append records to; each is one write: a head (struct head) and two texts
 *   SHIM_FAULT    "KIND:NTH:ERRNO:STICKY": the NTH (from 1) call of a kind fails, with STICKY 1 all later too.
 *                 Kinds: open write sync truncate rename unlink mkdir link any. ERRNO as a number; a write that
 *                 fails with ENOSPC first writes half of what it was given, as a filling disk does.
 *   SHIM_SWITCH   a file; while it exists its content is the fault, counted from when it came
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

struct head {
    uint32_t kind, one_bytes, two_bytes, flags;
    int64_t fd, offset;
};
enum { OPEN = 1, CLOSE, WRITE, TRUNCATE, SYNC, RENAME, UNLINK, MKDIR, LINK, SAID, RMDIR };

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static char under[4096];
static size_t under_bytes;
static int journal = -1;
static const char *switch_file;
static char fault_kind[16];
static long fault_nth, fault_errno, fault_sticky, seen;
static unsigned char ours[65536]; /* by descriptor: lies under the folder */

static void set_fault(const char *text) {
    fault_kind[0] = 0;
    if (text && sscanf(text, "%15[a-z]:%ld:%ld:%ld", fault_kind, &fault_nth, &fault_errno, &fault_sticky) != 4)
        fault_kind[0] = 0;
    seen = 0;
}

__attribute__((constructor)) static void begin(void) {
    const char *named = getenv("SHIM_UNDER"), *to = getenv("SHIM_JOURNAL");
    if (named) {
        snprintf(under, sizeof under, "%s", named);
        under_bytes = strlen(under);
    }
    if (to) {
        int got = syscall(SYS_openat, AT_FDCWD, to, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
        journal = got < 0 ? got : (int)syscall(SYS_fcntl, got, F_DUPFD_CLOEXEC, 900);
        if (got >= 0) syscall(SYS_close, got);
    }
    switch_file = getenv("SHIM_SWITCH");
    set_fault(getenv("SHIM_FAULT"));
}

static int is_ours(const char *path) {
    return under_bytes && path && strncmp(path, under, under_bytes) == 0 &&
           (path[under_bytes] == '/' || path[under_bytes] == 0);
}

static int ours_fd(int fd) { return fd >= 0 && fd < (int)sizeof ours && ours[fd]; }

static void note(uint32_t kind, int64_t fd, int64_t offset, uint32_t flags, const void *one, size_t one_bytes,
                 const void *two, size_t two_bytes) {
    if (journal < 0) return;
    size_t all = sizeof(struct head) + one_bytes + two_bytes;
    char *record = malloc(all);
    struct head head = {kind, (uint32_t)one_bytes, (uint32_t)two_bytes, flags, fd, offset};
    memcpy(record, &head, sizeof head);
    if (one_bytes) memcpy(record + sizeof head, one, one_bytes);
    if (two_bytes) memcpy(record + sizeof head + one_bytes, two, two_bytes);
    int kept = errno;
    syscall(SYS_write, journal, record, all);
    errno = kept;
    free(record);
}

/* The errno to fail with, 0 to go on. */
static int failing(const char *kind) {
    static int was_on = 0;
    if (switch_file) {
        char text[64] = {0};
        int fd = syscall(SYS_openat, AT_FDCWD, switch_file, O_RDONLY | O_CLOEXEC, 0);
        if (fd < 0) {
            was_on = 0;
            fault_kind[0] = 0;
        } else {
            long got = syscall(SYS_read, fd, text, sizeof text - 1);
            syscall(SYS_close, fd);
            if (!was_on && got > 0) {
                was_on = 1;
                set_fault(text);
            }
        }
    }
    if (!fault_kind[0] || (strcmp(fault_kind, kind) != 0 && strcmp(fault_kind, "any") != 0)) return 0;
    seen++;
    return (seen == fault_nth || (fault_sticky && seen > fault_nth)) ? (int)fault_errno : 0;
}

#define REAL(name, ...) \
    static name##_type *real; \
    if (!real) real = (name##_type *)dlsym(RTLD_NEXT, #name)
#define ENTER pthread_mutex_lock(&lock)
#define LEAVE(value) \
    do { pthread_mutex_unlock(&lock); return (value); } while (0)
#define FAIL_IF(kind) \
    do { int wrong = failing(kind); if (wrong) { errno = wrong; LEAVE(-1); } } while (0)

static int opened(int dir, const char *path, int flags, mode_t mode) {
    if (dir != AT_FDCWD && path[0] != '/') return syscall(SYS_openat, dir, path, flags, mode);
    if (!is_ours(path)) {
        int fd = syscall(SYS_openat, dir, path, flags, mode);
        if (fd >= 0 && fd < (int)sizeof ours) ours[fd] = 0;
        return fd;
    }
    ENTER;
    int writes = (flags & O_ACCMODE) != O_RDONLY || (flags & O_CREAT);
    if (writes) FAIL_IF("open");
    struct stat was;
    int there = syscall(SYS_newfstatat, AT_FDCWD, path, &was, 0) == 0;
    int fd = syscall(SYS_openat, dir, path, flags, mode);
    if (fd >= 0 && fd < (int)sizeof ours) {
        ours[fd] = 1;
        uint32_t said = (there ? 0 : 1) | ((flags & O_TRUNC) ? 2 : 0) | ((flags & O_APPEND) ? 4 : 0);
        note(OPEN, fd, 0, said, path, strlen(path), NULL, 0);
    }
    LEAVE(fd);
}

#define OPENER(name, first, dir) \
    int name(first const char *path, int flags, ...) { \
        mode_t mode = 0; \
        if (flags & (O_CREAT | __O_TMPFILE)) { \
            va_list more; va_start(more, flags); mode = va_arg(more, mode_t); va_end(more); \
        } \
        return opened(dir, path, flags, mode); \
    }
#define COMMA ,
OPENER(open, , AT_FDCWD)
OPENER(open64, , AT_FDCWD)
OPENER(openat, int at COMMA, at)
OPENER(openat64, int at COMMA, at)

int close(int fd) {
    if (!ours_fd(fd)) return syscall(SYS_close, fd);
    ENTER;
    ours[fd] = 0;
    note(CLOSE, fd, 0, 0, NULL, 0, NULL, 0);
    int got = syscall(SYS_close, fd);
    LEAVE(got);
}

static ssize_t written(int fd, const void *what, size_t bytes, off_t at, int here) {
    int wrong = failing("write");
    if (wrong) {
        if (wrong != ENOSPC || bytes < 2) { errno = wrong; return -1; }
        bytes /= 2; /* what still fits; SQLite asks for the rest and is refused */
        fault_sticky = fault_sticky ? 1 : 2;
        if (fault_sticky == 2) { fault_nth++; fault_sticky = 0; }
    }
    if (here) at = syscall(SYS_lseek, fd, 0, SEEK_CUR);
    ssize_t got = here ? syscall(SYS_write, fd, what, bytes) : syscall(SYS_pwrite64, fd, what, bytes, at);
    if (got > 0) note(WRITE, fd, at, 0, what, (size_t)got, NULL, 0);
    return got;
}

ssize_t write(int fd, const void *what, size_t bytes) {
    if ((fd == 1 || fd == 2) && journal >= 0 && !ours_fd(fd)) {
        ENTER;
        ssize_t got = syscall(SYS_write, fd, what, bytes);
        if (got > 0) note(SAID, fd, 0, 0, what, (size_t)got, NULL, 0);
        LEAVE(got);
    }
    if (!ours_fd(fd)) return syscall(SYS_write, fd, what, bytes);
    ENTER;
    ssize_t got = written(fd, what, bytes, 0, 1);
    LEAVE(got);
}

ssize_t pwrite(int fd, const void *what, size_t bytes, off_t at) {
    if (!ours_fd(fd)) return syscall(SYS_pwrite64, fd, what, bytes, at);
    ENTER;
    ssize_t got = written(fd, what, bytes, at, 0);
    LEAVE(got);
}
ssize_t pwrite64(int fd, const void *what, size_t bytes, off64_t at) { return pwrite(fd, what, bytes, at); }

int ftruncate(int fd, off_t bytes) {
    if (!ours_fd(fd)) return syscall(SYS_ftruncate, fd, bytes);
    ENTER;
    FAIL_IF("truncate");
    int got = syscall(SYS_ftruncate, fd, bytes);
    if (got == 0) note(TRUNCATE, fd, bytes, 0, NULL, 0, NULL, 0);
    LEAVE(got);
}
int ftruncate64(int fd, off64_t bytes) { return ftruncate(fd, bytes); }

static int synced(int fd, long call) {
    if (!ours_fd(fd)) return syscall(call, fd);
    ENTER;
    FAIL_IF("sync");
    int got = syscall(call, fd);
    if (got == 0) note(SYNC, fd, 0, 0, NULL, 0, NULL, 0);
    LEAVE(got);
}
int fsync(int fd) { return synced(fd, SYS_fsync); }
int fdatasync(int fd) { return synced(fd, SYS_fdatasync); }

static int renamed(const char *from, const char *to) {
    if (!is_ours(from) && !is_ours(to)) return syscall(SYS_rename, from, to);
    ENTER;
    FAIL_IF("rename");
    int got = syscall(SYS_rename, from, to);
    if (got == 0) note(RENAME, -1, 0, 0, from, strlen(from), to, strlen(to));
    LEAVE(got);
}
int rename(const char *from, const char *to) { return renamed(from, to); }
int renameat(int a, const char *from, int b, const char *to) {
    if (a != AT_FDCWD || b != AT_FDCWD) return syscall(SYS_renameat2, a, from, b, to, 0);
    return renamed(from, to);
}

static int unlinked(const char *path, int dir) {
    if (!is_ours(path)) return syscall(dir ? SYS_rmdir : SYS_unlink, path);
    ENTER;
    FAIL_IF("unlink");
    int got = syscall(dir ? SYS_rmdir : SYS_unlink, path);
    if (got == 0) note(dir ? RMDIR : UNLINK, -1, 0, 0, path, strlen(path), NULL, 0);
    LEAVE(got);
}
int unlink(const char *path) { return unlinked(path, 0); }
int rmdir(const char *path) { return unlinked(path, 1); }
int unlinkat(int dir, const char *path, int flags) {
    if (dir != AT_FDCWD && path[0] != '/') return syscall(SYS_unlinkat, dir, path, flags);
    return unlinked(path, flags & AT_REMOVEDIR);
}

int mkdir(const char *path, mode_t mode) {
    if (!is_ours(path)) return syscall(SYS_mkdir, path, mode);
    ENTER;
    FAIL_IF("mkdir");
    int got = syscall(SYS_mkdir, path, mode);
    if (got == 0) note(MKDIR, -1, 0, 0, path, strlen(path), NULL, 0);
    LEAVE(got);
}

int link(const char *from, const char *to) {
    if (!is_ours(from) && !is_ours(to)) return syscall(SYS_link, from, to);
    ENTER;
    FAIL_IF("link");
    int got = syscall(SYS_link, from, to);
    if (got == 0) note(LINK, -1, 0, 0, from, strlen(from), to, strlen(to));
    LEAVE(got);
}
