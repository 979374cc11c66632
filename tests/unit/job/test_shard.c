// Files of shards: what is written is read back, and what cannot be is refused in words.
#include "suite.h"

#include "base/random.h"
#include "buying/study.h"
#include "job/shard.h"

static Shard sample(Arena *keep)
{
    Tally *tally = ARENA_NEW(keep, Tally);
    tally_add(tally, (Bracket){-1, 0}, false);
    tally_add(tally, (Bracket){98, 99}, true);
    tally_add(tally, (Bracket){98, 99}, false);
    tally_add(tally, (Bracket){199, 200}, true);
    tally_add(tally, (Bracket){96, 100}, false);
    Shard shard = {.program = "0.1.0",
                   .asked = "0123456789abcdef",
                   .form = HIDE_SIDE,
                   .pieces = 2,
                   .grade = "second choice",
                   .comfort = 0.9,
                   .seed = 9007199254740991U,
                   .trials = 14,
                   .shards = 3,
                   .shard = 2,
                   .job = "{\"name\": \"a\\\"b\", \t\r\n \"units\": \"in\"}",
                   .job_bytes = 34};
    shard.job_bytes = strlen(shard.job);
    shard_take_tally(&shard, tally, keep);
    return shard;
}

static void what_is_written_is_read_back(void **state)
{
    Arena *keep = *state;
    const Shard shard = sample(keep);
    Text text = {.keep = keep};
    shard_write(&shard, &text);
    Shard read;
    Problems *problems = problems_in(keep);
    assert_true(shard_read(text.bytes, text.length, "s.json", keep, &read, problems));
    assert_int_equal(problems->count, 0);
    assert_string_equal(read.asked, shard.asked);
    assert_string_equal(read.job, shard.job);
    assert_int_equal(read.job_bytes, shard.job_bytes);
    assert_true(read.seed == shard.seed && read.comfort == shard.comfort);
    assert_true(read.form == HIDE_SIDE && strcmp(read.grade, "second choice") == 0 &&
                read.pieces == 2 && !read.stopped);
    assert_int_equal(read.done, 5);
    assert_int_equal(read.careful, 2);
    Tally *wanted = ARENA_NEW(keep, Tally);
    Tally *found = ARENA_NEW(keep, Tally);
    shard_add_to(&shard, wanted);
    shard_add_to(&read, found);
    assert_memory_equal(found, wanted, sizeof *found);
    Text again = {.keep = keep};
    shard_write(&read, &again);
    assert_string_equal(again.bytes, text.bytes);
}

static void a_tally_comes_back_whole(void **state)
{
    Random random = random_begin(3, 0, 0);
    for (int round = 0; round < 20; round++) {
        const ArenaMark mark = arena_mark(*state);
        Tally *tally = ARENA_NEW(*state, Tally);
        const int trials = 1 + random_below(&random, 300);
        for (int i = 0; i < trials; i++) {
            const int failed = random_below(&random, AREA_STEPS + 1) - 1;
            const int fits = failed + 1 + random_below(&random, AREA_STEPS - failed);
            tally_add(tally, (Bracket){failed, fits}, random_below(&random, 2) == 1);
        }
        Shard shard = {0};
        shard_take_tally(&shard, tally, *state);
        Tally *back = ARENA_NEW(*state, Tally);
        shard_add_to(&shard, back);
        assert_memory_equal(back, tally, sizeof *back);
        arena_rewind(*state, mark);
    }
}

static void shards_share_out_all_trials(void **state)
{
    (void)state;
    for (int trials = 1; trials < 40; trials++) {
        for (int shards = 1; shards <= trials; shards++) {
            int sum = 0;
            for (int number = 1; number <= shards; number++) {
                const Shard shard = {.trials = trials, .shards = shards, .shard = number};
                int own = 0;
                for (int k = 0; k < trials; k++) {
                    own += k % shards == number - 1;
                }
                assert_int_equal(shard_own_trials(&shard), own);
                sum += own;
            }
            assert_int_equal(sum, trials);
        }
    }
}

static void a_file_that_is_cut_off_anywhere_is_refused(void **state)
{
    Arena *keep = *state;
    const Shard shard = sample(keep);
    Text text = {.keep = keep};
    shard_write(&shard, &text);
    // But for the line's end behind it.
    for (size_t length = 0; length + 1 < text.length; length++) {
        const ArenaMark mark = arena_mark(keep);
        Shard read = {.done = -7};
        Problems *problems = problems_in(keep);
        assert_false(shard_read(text.bytes, length, "s.json", keep, &read, problems));
        assert_int_equal(read.done, -7);
        assert_true(strncmp(problems->items[0].where, "s.json", 6) == 0);
        arena_rewind(keep, mark);
    }
}

static const char *complaints_of_shard(const char *text, size_t bytes, Arena *keep)
{
    Shard shard;
    Problems *problems = problems_in(keep);
    assert_false(shard_read(text, bytes, "s.json", keep, &shard, problems));
    assert_true(problems->mistakes > 0);
    return problems_text(problems, keep);
}

static void broken_files(void **state)
{
    check_suite("bad-shards/shards.txt", 30, complaints_of_shard, *state);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(what_is_written_is_read_back),
        TEST_IN_ARENA(a_tally_comes_back_whole),
        TEST_IN_ARENA(shards_share_out_all_trials),
        TEST_IN_ARENA(a_file_that_is_cut_off_anywhere_is_refused),
        TEST_IN_ARENA(broken_files),
    };
    return cmocka_run_group_tests_name("job/shard", tests, NULL, NULL);
}
