#include "cli/command.h"
#include "cli/listing.h"
#include "plan/buy_shard.h"
#include "plan/buy_split.h"

#include <math.h>
#include <unistd.h>

enum { CURVE_ROWS = 12, BAR_CELLS = 30 };

static void print_curve(const BuyAnswer *answer, AreaUnit unit, Arena *keep)
{
    Listing listing = listing_begin("rrll", keep);
    listing_add(&listing, (const char *[]){"area", "enough", "95 in 100 sure", ""});
    int steps[CURVE_ROWS];
    const int count = plan_buy_steps(answer, CURVE_ROWS, steps);
    for (int i = 0; i < count; i++) {
        const Chance chance = plan_buy_chance(answer, steps[i]);
        char *bar = ARENA_ARRAY(keep, char, BAR_CELLS + 1);
        for (int k = 0; k < BAR_CELLS && k < chance.share * BAR_CELLS - 0.5; k++) {
            bar[k] = '=';
        }
        listing_add(&listing,
                    (const char *[]){area_step_text(steps[i], unit, keep),
                                     percent_text(chance.share, keep),
                                     arena_text(keep, "%s to %s", percent_text(chance.low, keep),
                                                percent_text(chance.high, keep)),
                                     bar});
    }
    printf("\n");
    listing_print(&listing, stdout);
}

// How far a rule's area lies off the one that the trials ask for, and how often it is enough.
static void print_thumbs(const BuyAnswer *answer, AreaUnit unit, Arena *keep)
{
    Listing listing = listing_begin("llrrr", keep);
    listing_add(&listing, (const char *[]){"usual rule", "here", "leather", "against", "enough"});
    for (int i = 0; i < answer->thumb_count; i++) {
        const Thumb *thumb = &answer->thumbs[i];
        const double off = plan_buy_rule_against(answer, i);
        const Chance chance = plan_buy_rule_chance(answer, i);
        listing_add(&listing,
                    (const char *[]){thumb->name, thumb->reckon,
                                     area_text(thumb->area_mm2, unit, keep),
                                     isfinite(off) ? arena_text(keep, "%+.0f %%", 100 * off) : "",
                                     percent_text(chance.share, keep)});
    }
    printf("\n");
    listing_print(&listing, stdout);
}

static void print_answer(const Session *session, const Derived *derived, const BuyAnswer *answer)
{
    Arena *keep = session->keep;
    const AreaUnit unit = derived->job.units.area;
    const StudyAnswer *study = &answer->study;
    printf("%d covers, %s as cut. %s\n", answer->covers, area_text(answer->cut_mm2, unit, keep),
           plan_buy_advice(answer, unit, keep));
    printf("\nTried on %d %s drawn at random, of the grade \"%s\": %s.\n",
           study->tally.trials * answer->order.pieces, hide_pieces_word(answer->order.form, 2),
           answer->order.grade,
           job_grade_words(&derived->job, plan_buy_grade(derived, &answer->order), keep));
    if (study->area.high < AREA_STEPS) {
        printf("They put the area between %s and %s.", area_step_text(study->area.low, unit, keep),
               area_step_text(study->area.high, unit, keep));
        const int needed = plan_buy_trials_needed(answer);
        if (needed > 0) {
            printf(" About %d trials would tell it to %g %%.", needed,
                   100 * answer->order.precision);
        }
        printf("\n");
    } else if (study->area.low < AREA_STEPS) {
        printf("They are too few to say more than that at least %s are needed.\n",
               area_step_text(study->area.low, unit, keep));
    }
    if (plan_buy_may_split(answer)) {
        printf("`buy --split` shares the chairs out: which come from which, and how large each "
               "must then be.\n");
    }
    print_curve(answer, unit, keep);
    print_thumbs(answer, unit, keep);
    if (study->stopped) {
        printf("\nStopped before the answer was as precise as wanted.\n");
    }
}

int buy_threads(const BuyOrder *order)
{
    return order->threads > 0 ? order->threads : (int)sysconf(_SC_NPROCESSORS_ONLN);
}

int finish_buy(Session *session, const Derived *derived, BuyAnswer *answer,
               const Progress *progress, const Arguments *arguments)
{
    BuyOrder *order = &answer->order;
    order->threads = buy_threads(order);
    BuyBeside beside = {.stopped = answer->study.stopped};
    const bool compares = !arguments->no_offers && !beside.stopped;
    if (compares && !plan_buy_beside(derived, answer, progress, session->keep, session->scratch,
                                     &beside, session->problems)) {
        return give_up(session);
    }
    end_progress(session);
    if (arguments->json) {
        Text text = {.keep = session->keep};
        plan_buy_json(derived, answer, &beside, &text);
        (void)fputs(text_string(&text), stdout);
    } else {
        print_answer(session, derived, answer);
        if (compares) {
            print_beside(session, derived, answer, &beside);
        }
    }
    const BuyingKnown known = {.answer = answer,
                               .offers = beside.offers ? &beside.offers->choice : NULL};
    if (!print_pages(session, derived, arguments, known)) {
        return give_up(session);
    }
    return beside.stopped ? EXIT_STOPPED : EXIT_FINE;
}

// What --shard needs, and what needs it; NULL when all is well.
static const char *shard_trouble(const Arguments *arguments)
{
    if (arguments->print && (arguments->thrift || arguments->split || arguments->buy.shards > 0)) {
        return "--print takes none of --thrift, --split and --shard; `seatwright merge --print` "
               "takes shards";
    }
    if (arguments->buy.trials > 0 && arguments->buy.precision > 0) {
        return "only one of --trials and --precision";
    }
    if (arguments->thrift + arguments->split + (arguments->buy.shards > 0) > 1) {
        return "only one of --thrift, --split and --shard";
    }
    if (arguments->buy.shards == 0) {
        return arguments->folder ? "--out belongs to --shard" : NULL;
    }
    if (arguments->buy.trials == 0) {
        return "--shard needs --trials: how many in all shards together";
    }
    if (arguments->buy.trials < arguments->buy.shards) {
        return "fewer trials than shards";
    }
    return arguments->folder ? NULL : "--shard needs --out FILE";
}

static int write_shard(Session *session, const Arguments *arguments, const Derived *derived,
                       const BuyAnswer *answer)
{
    if (!plan_shard_write(arguments->folder, derived, answer, session->problems)) {
        return give_up(session);
    }
    end_progress(session);
    const BuyOrder *order = &answer->order;
    printf("%s: shard %d of %d, %d of %d trials%s\n", arguments->folder, order->shard,
           order->shards, answer->study.tally.trials, order->trials,
           answer->study.stopped ? "; stopped before its last, so run it again" : "");
    return answer->study.stopped ? EXIT_STOPPED : EXIT_FINE;
}

static int run(Session *session, const Arguments *arguments)
{
    const char *trouble = shard_trouble(arguments);
    if (trouble) {
        (void)problems_say(session->problems, PROBLEM_BAD_INPUT, "options", "%s", trouble);
        return give_up(session);
    }
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    if (arguments->folder && !plan_shard_try(arguments->folder, session->problems)) {
        return give_up(session);
    }
    BuyOrder order = arguments->buy;
    order.threads = buy_threads(&order);
    if (arguments->thrift) {
        return run_thrift(session, &derived, &order, arguments->json);
    }
    if (arguments->split) {
        return run_split(session, &derived, &order, arguments->json);
    }
    const bool alone = arguments->no_offers || order.shards > 0;
    ProgressPart part = {.whole = &session->progress, .to = alone ? 1 : BUY_STUDY_SHARE};
    const Progress progress = {progress_report_part, &part};
    BuyAnswer *answer = ARENA_NEW(session->keep, BuyAnswer);
    if (!plan_buy(&derived, &order, &progress, session->keep, session->scratch, answer,
                  session->problems)) {
        return give_up(session);
    }
    if (order.shards > 0) {
        return write_shard(session, arguments, &derived, answer);
    }
    part.from = part.to;
    part.to = 1;
    return finish_buy(session, &derived, answer, &progress, arguments);
}

const Command buy_command = {
    .name = "buy",
    .summary = "how much leather to ask for, and with what chance it is enough",
    .help =
        "seatwright buy JOB [--grade GRADE] [--form whole|side] [--pieces N]\n"
        "               [--comfort TIMES] [--trials N] [--precision PARTS] [--threads N]\n"
        "               [--no-offers] [--print FILE.pdf] [--date 2026-01-31] [--json]\n"
        "seatwright buy JOB --trials N --shard I/SHARDS --out FILE [...]\n"
        "seatwright buy JOB --thrift [...]\n"
        "seatwright buy JOB --split [...]\n"
        "\n"
        "Lays the job's covers on hides that are drawn at random, each in many sizes, and\n"
        "says from what stamped area on they are enough; how often less would do; and what\n"
        "the usual rules would have had you buy. Then it tries sides in place of whole hides\n"
        "(or the reverse), and compares the job's offers: how often what each sells is\n"
        "enough, what it comes to landed and with the risk of falling short, and at what\n"
        "price it would be first. The hides that the job may name play no part. JOB may be -\n"
        "for standard input.\n"
        "\n"
        "  --grade    how free of flaws: clean, sound (unless told otherwise), lively, rough, or "
        "one\n"
        "             that the job names (\"grades\", docs/job-file.md)\n"
        "  --form     whole hides (unless told otherwise) or sides\n"
        "  --pieces   how many are bought together; else the fewest of up to 60 ft² (sides 30)\n"
        "  --comfort  how often in a hundred it must be enough: as the job says, else 95\n"
        "  --trials   exactly so many; else as many as the answer needs, at most 2000\n"
        "             (--split: 192)\n"
        "  --precision  how near the area must be known, in a hundred: 2 to 20, else 4\n"
        "  --threads  how many cores work at once; else all that there are\n"
        "  --print    also as pages for the shop: what to ask for, with the chance of every area,\n"
        "             which leather, what to look at, and a table for the hides seen\n"
        "  --no-offers  leaves out the other form and the offers\n"
        "\n"
        "  --shard    runs only part I of the trials and writes what it found to the file of\n"
        "             --out; `seatwright merge` makes the answer of all parts. Give --pieces\n"
        "             as well, or each part has to find out how many by itself\n"
        "\n"
        "  --thrift   says instead what single change would save most leather: a shorter grip,\n"
        "             a wider turn window, flaws nearer to the middle, one cover fewer, ...;\n"
        "             --trials is then on how many pairs of hides each is tried (48)\n"
        "\n"
        "  --split    says instead whether one hide does for the whole set, and which chairs\n"
        "             come from which when they are divided over several, those side by side\n"
        "             together; --pieces is then over how many\n"
        "\n"
        "Ctrl-C ends the trials and prints what is known by then, and how sure that is.\n"
        "\n"
        "  seatwright buy examples/rowing-club.json\n"
        "  seatwright buy --form side --pieces 2 --grade clean examples/mill-kitchen.json\n"
        "  seatwright buy examples/rowing-club.json --pieces 1 --trials 400 --shard 3/8 \\\n"
        "      --out shard-3.json\n"
        "\n"
        "Exit status: 0 done, 1 the system refused, 2 mistakes in the job, 3 no such file,\n"
        "130 stopped.\n",
    .takes_json = true,
    .takes_buy = true,
    .takes_print = true,
    .run = run,
};
