#include "serve/crew.h"

#include "support/check.h"

#include <stdlib.h>
#include <unistd.h>

enum { HANDS = 4, MANY = CREW_WAITING_MAX + HANDS + 1 };

// What tasks wait for, and what was done.
typedef struct Hall {
    pthread_mutex_t lock;
    pthread_cond_t news;
    bool open; // guests may go
    int guests_begun;
    int guests_done;
    int own_done;
} Hall;

static Hall hall = {PTHREAD_MUTEX_INITIALIZER, PTHREAD_COND_INITIALIZER, false, 0, 0, 0};

static void do_own(Task *task, Desk *desk)
{
    (void)task;
    (void)desk;
    (void)pthread_mutex_lock(&hall.lock);
    hall.own_done++;
    (void)pthread_cond_broadcast(&hall.news);
    (void)pthread_mutex_unlock(&hall.lock);
}

static void do_guest(Task *task, Desk *desk)
{
    (void)task;
    (void)desk;
    (void)pthread_mutex_lock(&hall.lock);
    hall.guests_begun++;
    (void)pthread_cond_broadcast(&hall.news);
    while (!hall.open) {
        (void)pthread_cond_wait(&hall.news, &hall.lock);
    }
    hall.guests_done++;
    (void)pthread_mutex_unlock(&hall.lock);
}

static void wait_until(const int *count, int wanted)
{
    (void)pthread_mutex_lock(&hall.lock);
    while (*count < wanted) {
        (void)pthread_cond_wait(&hall.news, &hall.lock);
    }
    (void)pthread_mutex_unlock(&hall.lock);
}

static void open_hall(void)
{
    (void)pthread_mutex_lock(&hall.lock);
    hall.open = true;
    (void)pthread_cond_broadcast(&hall.news);
    (void)pthread_mutex_unlock(&hall.lock);
}

static int take(Crew *crew, Task *tasks, int count, Task like)
{
    int taken = 0;
    for (int i = 0; i < count; i++) {
        tasks[i] = like;
        taken += crew_take(crew, &tasks[i]);
    }
    return taken;
}

// Guests that hold whatever they are given: half of the hands, and of the places to wait. What
// comes from the machine itself is done all the while; in the end so is all that was taken.
static void guests_hold_half_at_most(void **state)
{
    static Task guests[MANY];
    static Task own[MANY];
    char folder[] = "/tmp/seatwright-crew-XXXXXX";
    assert_non_null(mkdtemp(folder));
    const char *workshop = arena_text(*state, "%s/w.db", folder);
    const CrewOptions options = {.workshop = workshop, .hands = HANDS};
    Crew *crew = crew_begin(&options, problems_in(*state));
    assert_non_null(crew);
    assert_int_equal(take(crew, guests, HANDS / 2, (Task){.guest = true, .run = do_guest}),
                     HANDS / 2);
    wait_until(&hall.guests_begun, HANDS / 2);
    Task *waiting = guests + HANDS / 2;
    assert_int_equal(take(crew, waiting, MANY - HANDS / 2, (Task){.guest = true, .run = do_guest}),
                     CREW_GUESTS_WAITING_MAX);
    for (int i = 0; i < MANY; i++) {
        assert_int_equal(take(crew, &own[i], 1, (Task){.run = do_own}), 1);
        wait_until(&hall.own_done, i + 1);
    }
    assert_int_equal(hall.guests_begun, HANDS / 2);
    open_hall();
    crew_stop(crew);
    assert_int_equal(hall.guests_done, HANDS / 2 + CREW_GUESTS_WAITING_MAX);
    assert_false(crew_take(crew, &own[0]));
    crew_end(crew);
    static const char *const tails[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < sizeof tails / sizeof tails[0]; i++) {
        (void)unlink(arena_text(*state, "%s%s", workshop, tails[i]));
    }
    (void)rmdir(arena_text(*state, "%s.backups", workshop));
    (void)rmdir(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {TEST_IN_ARENA(guests_hold_half_at_most)};
    return cmocka_run_group_tests_name("serve/crew", tests, NULL, NULL);
}
