#include "serve/patience.h"

#include "serve/clock.h"

#include <pthread.h>
#include <stdlib.h>
#include <sys/socket.h>

struct Wait {
    int socket;
    int64_t until_ms; // 0: for ever
    bool taken;
    bool guest;
};

struct Patience {
    pthread_mutex_t lock;
    pthread_cond_t ended;
    pthread_t sweeper;
    bool stop;
    int most;
    Wait *waits;
};

// Both directions are shut, so that the HTTP library sees the end and closes the socket itself.
static int sweep(Patience *patience, int64_t now_ms)
{
    int cut = 0;
    for (int i = 0; i < patience->most; i++) {
        Wait *wait = &patience->waits[i];
        if (wait->taken && wait->until_ms > 0 && now_ms > wait->until_ms) {
            (void)shutdown(wait->socket, SHUT_RDWR);
            wait->until_ms = 0;
            cut++;
        }
    }
    return cut;
}

int patience_sweep(Patience *patience, int64_t now_ms)
{
    (void)pthread_mutex_lock(&patience->lock);
    const int cut = sweep(patience, now_ms);
    (void)pthread_mutex_unlock(&patience->lock);
    return cut;
}

static void *sweep_on(void *context)
{
    Patience *patience = context;
    (void)pthread_mutex_lock(&patience->lock);
    while (!patience->stop) {
        struct timespec next;
        (void)clock_gettime(CLOCK_REALTIME, &next);
        next.tv_sec++;
        (void)pthread_cond_timedwait(&patience->ended, &patience->lock, &next);
        (void)sweep(patience, steady_ms());
    }
    (void)pthread_mutex_unlock(&patience->lock);
    return NULL;
}

Patience *patience_begin(int most)
{
    Patience *patience = calloc(1, sizeof *patience);
    Wait *waits = calloc((size_t)most, sizeof *waits);
    if (!patience || !waits) {
        free(patience);
        free(waits);
        return NULL;
    }
    patience->most = most;
    patience->waits = waits;
    (void)pthread_mutex_init(&patience->lock, NULL);
    (void)pthread_cond_init(&patience->ended, NULL);
    if (pthread_create(&patience->sweeper, NULL, sweep_on, patience) != 0) {
        free(waits);
        free(patience);
        return NULL;
    }
    return patience;
}

void patience_end(Patience *patience)
{
    if (!patience) {
        return;
    }
    (void)pthread_mutex_lock(&patience->lock);
    patience->stop = true;
    (void)pthread_cond_signal(&patience->ended);
    (void)pthread_mutex_unlock(&patience->lock);
    (void)pthread_join(patience->sweeper, NULL);
    (void)pthread_cond_destroy(&patience->ended);
    (void)pthread_mutex_destroy(&patience->lock);
    free(patience->waits);
    free(patience);
}

Wait *patience_meet(Patience *patience, int socket, bool guest)
{
    Wait *found = NULL;
    (void)pthread_mutex_lock(&patience->lock);
    for (int i = 0; i < patience->most && !found; i++) {
        if (!patience->waits[i].taken) {
            found = &patience->waits[i];
            *found = (Wait){.socket = socket, .taken = true, .guest = guest};
        }
    }
    (void)pthread_mutex_unlock(&patience->lock);
    return found;
}

void patience_part(Patience *patience, Wait *wait)
{
    if (wait) {
        (void)pthread_mutex_lock(&patience->lock);
        *wait = (Wait){0};
        (void)pthread_mutex_unlock(&patience->lock);
    }
}

void patience_cut_guests(Patience *patience)
{
    (void)pthread_mutex_lock(&patience->lock);
    for (int i = 0; i < patience->most; i++) {
        const Wait *wait = &patience->waits[i];
        if (wait->taken && wait->guest) {
            (void)shutdown(wait->socket, SHUT_RDWR);
        }
    }
    (void)pthread_mutex_unlock(&patience->lock);
}

void patience_allow(Patience *patience, Wait *wait, int seconds)
{
    if (wait) {
        (void)pthread_mutex_lock(&patience->lock);
        wait->until_ms = seconds > 0 ? steady_ms() + (int64_t)seconds * 1000 : 0;
        (void)pthread_mutex_unlock(&patience->lock);
    }
}
