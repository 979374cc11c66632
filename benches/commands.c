// Times whole commands: a process is started several times in a row, and its time and
// peak memory are read from the system's own account of it.
//
//   bench_commands ROUNDS LABEL PROGRAM ARGS...
//
// prints one line: label, median and greatest time, peak memory, exit status.
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

pid_t wait4(pid_t pid, int *status, int options, struct rusage *usage);

enum { ROUNDS_MAX = 100 };

typedef struct Run {
    double wall_s;
    double cpu_s;
    double peak_mb;
    int status;
} Run;

static double now_s(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double seconds(struct timeval time)
{
    return (double)time.tv_sec + 1e-6 * (double)time.tv_usec;
}

static Run run_once(char *const *command)
{
    const double begun = now_s();
    const pid_t child = fork();
    if (child == 0) {
        const int nowhere = open("/dev/null", O_WRONLY);
        (void)dup2(nowhere, STDOUT_FILENO);
        (void)dup2(nowhere, STDERR_FILENO);
        (void)execvp(command[0], command);
        _exit(127);
    }
    int status = 0;
    struct rusage usage = {0};
    while (wait4(child, &status, 0, &usage) < 0 && errno == EINTR) {
    }
    return (Run){.wall_s = now_s() - begun,
                 .cpu_s = seconds(usage.ru_utime) + seconds(usage.ru_stime),
                 .peak_mb = (double)usage.ru_maxrss / 1024,
                 .status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status)};
}

static int by_wall(const void *left, const void *right)
{
    const Run *a = left;
    const Run *b = right;
    return (a->wall_s > b->wall_s) - (a->wall_s < b->wall_s);
}

int main(int count, char **words)
{
    const int rounds = count > 3 ? atoi(words[1]) : 0;
    if (rounds < 1 || rounds > ROUNDS_MAX) {
        (void)fputs("usage: bench_commands ROUNDS LABEL PROGRAM ARGS...\n", stderr);
        return 2;
    }
    Run runs[ROUNDS_MAX];
    for (int i = 0; i < rounds; i++) {
        runs[i] = run_once(words + 3);
    }
    qsort(runs, (size_t)rounds, sizeof *runs, by_wall);
    const Run median = runs[rounds / 2];
    printf("%-28s median %8.1f ms  most %8.1f ms  cpu %8.1f ms  peak %6.1f MB  status %d\n",
           words[2], 1e3 * median.wall_s, 1e3 * runs[rounds - 1].wall_s, 1e3 * median.cpu_s,
           median.peak_mb, median.status);
    return 0;
}
