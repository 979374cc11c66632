// The steps themselves.
#include "paper/steps.h"

#include "base/digest.h"
#include "paper/chalk.h"
#include "paper/marks.h"

const char *const step_kind_names[STEP_KIND_COUNT] = {"check", "mark",  "diagonals",
                                                      "cut",   "after", "fasten"};

// Steps being written down.
typedef struct Writing {
    const PackMatter *matter;
    Arena *keep;
    BenchSteps steps;
} Writing;

static const BenchStep nowhere = {.hide = -1, .cover = -1, .mark = -1, .demand = -1, .notes = ""};

// Of all that a person reads in it, and the cover and hide that it is about.
static const char *id_of(const Writing *writing, const BenchStep *step)
{
    const PackMatter *matter = writing->matter;
    Digest digest = digest_begin();
    digest_text(&digest, step->part);
    digest_text(&digest, step->say);
    for (int i = 0; i < step->reading_count; i++) {
        digest_text(&digest, step->readings[i].name);
        digest_text(&digest, step->readings[i].value);
    }
    digest_text(&digest, step->hide >= 0 ? matter->hides[step->hide].name : NULL);
    digest_text(&digest, step->demand >= 0 ? matter->demands[step->demand].name : NULL);
    return arena_text(writing->keep, "%s-%s", step_kind_names[step->kind],
                      digest_hex(digest, writing->keep));
}

static void add(Writing *writing, BenchStep step)
{
    BenchSteps *steps = &writing->steps;
    step.id = id_of(writing, &step);
    steps->items =
        arena_room(writing->keep, steps->items, steps->count, &steps->room, sizeof *steps->items);
    steps->items[steps->count++] = step;
}

static void add_mark(Writing *writing, int index, const Marks *marks, int mark)
{
    const PackMatter *matter = writing->matter;
    const PlacedCover *cover = &matter->plan->covers[index];
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = writing->keep;
    const Mark *here = &marks->items[mark];
    const int before = (mark + marks->count - 1) % marks->count;
    StepReading *readings = ARENA_ARRAY(keep, StepReading, 3);
    readings[0] =
        (StepReading){arena_text(keep, "up the %s", marks_axis_name(&matter->hides[cover->hide])),
                      marks_up_text(here->up_mm, unit, keep)};
    readings[1] = (StepReading){"out", marks_out_text(here->out_mm, unit, keep)};
    readings[2] = (StepReading){arena_text(keep, "from mark %d", before + 1),
                                marks_distance_text(marks, before, mark, unit, keep)};
    BenchStep step = nowhere;
    step.kind = STEP_MARK;
    step.part = steps_cover_heading(matter, cover, keep);
    step.say = arena_text(keep, "Mark %d of %d", mark + 1, marks->count);
    step.readings = readings;
    step.reading_count = mark > 0 ? 3 : 2;
    step.hide = cover->hide;
    step.cover = index;
    step.mark = mark;
    step.demand = cover->demand;
    add(writing, step);
}

static void add_diagonals(Writing *writing, int index, const Marks *marks)
{
    const PackMatter *matter = writing->matter;
    const PlacedCover *cover = &matter->plan->covers[index];
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = writing->keep;
    StepReading *readings = ARENA_ARRAY(keep, StepReading, 3);
    int count = 0;
    readings[count++] = (StepReading){arena_text(keep, "%d to 1", marks->count),
                                      marks_distance_text(marks, marks->count - 1, 0, unit, keep)};
    for (int i = 0; i < marks->diagonal_count; i++) {
        const int from = marks->diagonal[i][0];
        const int to = marks->diagonal[i][1];
        readings[count++] = (StepReading){arena_text(keep, "%d to %d", from + 1, to + 1),
                                          marks_distance_text(marks, from, to, unit, keep)};
    }
    BenchStep step = nowhere;
    step.kind = STEP_DIAGONALS;
    step.part = steps_cover_heading(matter, cover, keep);
    step.say = "Draw the outline from mark to mark, and measure across it.";
    step.readings = readings;
    step.reading_count = count;
    step.hide = cover->hide;
    step.cover = index;
    step.demand = cover->demand;
    add(writing, step);
}

static void add_covers_to_chalk(Writing *writing)
{
    const PackMatter *matter = writing->matter;
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const PlacedCover *cover = &matter->plan->covers[i];
        const Marks marks = marks_of(cover->cut, cover->motion.turn_rad, matter->job->units.length);
        for (int m = 0; m < marks.count; m++) {
            add_mark(writing, i, &marks, m);
        }
        add_diagonals(writing, i, &marks);
    }
}

// The flaws of all hides that are cut, so that they can be found.
static int flaw_readings(const Writing *writing, StepReading **readings)
{
    const PackMatter *matter = writing->matter;
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = writing->keep;
    int room = 0;
    int count = 0;
    for (int h = 0; h < matter->hide_count; h++) {
        const Hide *hide = &matter->hides[h];
        for (int f = 0; f < hide->flaw_count && pack_shows_hide(matter, h); f++) {
            const Flaw *flaw = &hide->flaws[f];
            *readings = arena_room(keep, *readings, count, &room, sizeof **readings);
            (*readings)[count++] = (StepReading){
                matter->hide_count > 1
                    ? arena_text(keep, "hide %d, %s %d", h + 1, flaw_kind_names[flaw->kind], f + 1)
                    : arena_text(keep, "%s %d", flaw_kind_names[flaw->kind], f + 1),
                arena_text(keep, "%s up, %s",
                           marks_up_text(marks_rounded_mm(flaw->middle.x, unit), unit, keep),
                           marks_out_text(marks_rounded_mm(flaw->middle.y, unit), unit, keep))};
        }
    }
    return count;
}

static void add_checks(Writing *writing, StepKind kind, const char *part, StepTexts texts)
{
    for (int i = 0; i < texts.count; i++) {
        BenchStep step = nowhere;
        step.kind = kind;
        step.part = part;
        step.say = texts.items[i];
        if (kind == STEP_CHECK && i == BEFORE_FLAWS) {
            StepReading *readings = NULL;
            step.reading_count = flaw_readings(writing, &readings);
            step.readings = readings;
        }
        add(writing, step);
        if (kind == STEP_CHECK && i == BEFORE_CHALK) {
            add_covers_to_chalk(writing);
        }
    }
}

static void add_cuts(Writing *writing)
{
    const PackMatter *matter = writing->matter;
    const LengthUnit unit = matter->job->units.length;
    Arena *keep = writing->keep;
    for (int i = 0; i < matter->plan->cover_count; i++) {
        const PlacedCover *cover = &matter->plan->covers[i];
        const Point middle = ring_centroid(cover->cut);
        StepReading *readings = ARENA_ARRAY(keep, StepReading, 2);
        readings[0] = (StepReading){"middle: up",
                                    marks_up_text(marks_rounded_mm(middle.x, unit), unit, keep)};
        readings[1] =
            (StepReading){"out", marks_out_text(marks_rounded_mm(middle.y, unit), unit, keep)};
        BenchStep step = nowhere;
        step.kind = STEP_CUT;
        step.part = steps_cutting_heading;
        step.say = arena_text(keep, "Cut %d of %d: %s", i + 1, matter->plan->cover_count,
                              steps_cover_heading(matter, cover, keep));
        step.readings = readings;
        step.reading_count = 2;
        step.notes = steps_cover_notes(matter, cover, keep);
        step.caution = steps_knife_caution;
        step.hide = cover->hide;
        step.cover = i;
        step.demand = cover->demand;
        add(writing, step);
    }
}

static unsigned sides_of(int fasten)
{
    static const unsigned all = (1U << SIDE_COUNT) - 1;
    switch (fasten) {
    case FASTEN_FRONT:
        return 1U << SIDE_FRONT;
    case FASTEN_BACK:
        return 1U << SIDE_BACK;
    case FASTEN_SIDES:
        return 1U << SIDE_LEFT | 1U << SIDE_RIGHT;
    case FASTEN_OUT:
        return all;
    default:
        return 0;
    }
}

static void add_fastening(Writing *writing)
{
    const PackMatter *matter = writing->matter;
    Arena *keep = writing->keep;
    const StepTexts texts = steps_fasten(matter->job->units.length, keep);
    for (int d = 0; d < matter->demand_count; d++) {
        const CoverDemand *demand = &matter->demands[d];
        const char *name = chair_text(demand, keep);
        for (int i = 0; i < texts.count; i++) {
            BenchStep step = nowhere;
            step.kind = STEP_FASTEN;
            step.part = demand->count > 1
                            ? arena_text(keep, "Fastening %s: %s, each of %d", demand->name, name,
                                         demand->count)
                            : arena_text(keep, "Fastening %s: %s", demand->name, name);
            step.say = texts.items[i];
            step.caution = i == FASTEN_FRONT ? steps_stapler_caution : NULL;
            step.demand = d;
            step.sides = sides_of(i);
            add(writing, step);
        }
    }
}

BenchSteps bench_steps(const PackMatter *matter, Arena *keep)
{
    Writing writing = {.matter = matter, .keep = keep};
    add_checks(&writing, STEP_CHECK, steps_before_heading, steps_before());
    add_cuts(&writing);
    add_checks(&writing, STEP_AFTER, steps_after_heading, steps_after(matter, keep));
    add_fastening(&writing);
    return writing.steps;
}
