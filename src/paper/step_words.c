// The words of the steps.
#include "paper/steps.h"

#include "paper/chalk.h"
#include "paper/marks.h"

enum { NOTES_MAX = 8 }; ///< notes on one cover; more are counted

const char steps_before_heading[] = "Before the first cut";
const char steps_cutting_heading[] = "Cutting, butt first";
const char steps_after_heading[] = "After the last cut";
const char steps_fasten_heading[] = "Fastening, one cover after the other";
const char steps_knife_caution[] =
    "Cut away from the hand that holds the leather, on a mat, with a sharp blade and the free hand "
    "behind the edge. Cover blades that are not in use. Keep shears closed when you carry or pass "
    "them.";
const char steps_stapler_caution[] =
    "Pneumatic stapler: eye protection for you and for everyone near. Set the regulator to the "
    "maker's limit or below; take off the air before you clear a jam; never point it at a hand.";

StepTexts steps_before(void)
{
    static const char *const texts[STEPS_BEFORE_COUNT] = {
        "Unroll the hide and let it lie flat, grain side up, in the room where it will be cut, for "
        "two days: leather grows and shrinks with the damp of the air.",
        "Measure the backbone and the greatest width again, and compare the area with the stamp. "
        "Talk to the seller before the first cut, not after it.",
        "Hold the hide against the light and look through it for holes and thin spots. Feel the "
        "flesh side for knife cuts, and bend the grain inward to see whether it pipes.",
        "Ring every flaw with chalk. One that is not on the map: put it in and lay the covers "
        "anew.",
        "Chalk the backbone, then all covers, from the tables of marks. Measure both diagonals of "
        "each.",
        "Measure two marks of two covers a second time, starting at the neck end.",
        "Lay a rule on the proof lines of the templates. Paper that was printed too small makes "
        "every cover too small.",
        "Lay a template on each frame, padding in place, and see that it reaches the tack line all "
        "round.",
        "Compare the shade of neighbouring chairs by daylight."};
    return (StepTexts){texts, STEPS_BEFORE_COUNT};
}

StepTexts steps_after(const PackMatter *matter, Arena *keep)
{
    const AreaUnit unit = matter->job->units.area;
    const char **texts = ARENA_ARRAY(keep, const char *, matter->hide_count + 1);
    texts[0] = "Keep what is left as a remnant: rolled with the grain side out, tagged with the "
               "leather's name, the job and the date. Pieces of a hand's size still make trial "
               "folds and patches.";
    for (int i = 0; i < matter->hide_count; i++) {
        const double area_mm2 = matter->hides[i].area_mm2;
        texts[i + 1] = pack_shows_hide(matter, i)
                           ? arena_text(keep, "Hide %d: %s left of %s measured.", i + 1,
                                        area_text(area_mm2 - matter->plan->used_mm2[i], unit, keep),
                                        area_text(area_mm2, unit, keep))
                           : arena_text(keep, "%s: left whole.", chalk_hide_name(matter, i, keep));
    }
    return (StepTexts){texts, matter->hide_count + 1};
}

// Order, spacing and corners: common practice.
StepTexts steps_fasten(LengthUnit unit, Arena *keep)
{
    const char **texts = ARENA_ARRAY(keep, const char *, STEPS_FASTEN_COUNT);
    texts[FASTEN_LAY] =
        "Lay the cover grain side down and the seat on it, upside down: the arrow to the back, the "
        "marks of the middles on those of the frame.";
    texts[FASTEN_FRONT] = "Middle of the front: fold it over and fasten it once on the tack line.";
    texts[FASTEN_BACK] =
        "Middle of the back: pull until the leather lies smooth, no more, and fasten it once.";
    texts[FASTEN_SIDES] =
        "Middles of left and right: pull one against the other and fasten each once. Turn the seat "
        "over and look: straight, smooth, the right side to the back.";
    texts[FASTEN_OUT] = arena_text(
        keep,
        "From each middle out to the corners, opposite sides by turns: smooth, pull, fasten, %s "
        "apart. Stop a hand's breadth from each corner. Where a side runs slanted, ease a little "
        "at a time.",
        unit == LENGTH_IN ? "3/8 to 3/4 in" : "10 to 20 mm");
    texts[FASTEN_CORNERS] =
        "Corners last, back ones before front ones: pull the point in, fold both sides to it and "
        "cut away what lies hidden, so that no corner is thicker than three layers.";
    texts[FASTEN_TRIM] =
        "Try the seat in its chair. Then cut off the grip along the end of the hold.";
    return (StepTexts){texts, STEPS_FASTEN_COUNT};
}

const char *steps_cover_heading(const PackMatter *matter, const PlacedCover *cover, Arena *keep)
{
    return arena_text(keep, "%s: %s", cover_name(matter->demands, cover, keep),
                      chair_text(&matter->demands[cover->demand], keep));
}

static const char *flaw_words(const Hide *hide, int flaw, Arena *keep)
{
    const char *name = hide->flaws[flaw].name;
    return name && *name
               ? arena_text(keep, "%s %d (%s)", flaw_kind_names[hide->flaws[flaw].kind], flaw + 1,
                            name)
               : arena_text(keep, "%s %d", flaw_kind_names[hide->flaws[flaw].kind], flaw + 1);
}

static const char *region_words(const Region *region, Arena *keep)
{
    return arena_text(keep, "%s %s", firmness_names[region->firmness],
                      region_kind_names[region->kind]);
}

static const char *band_words(Band band)
{
    switch (band) {
    case BAND_FACE:
        return "on the face: will be seen and sat on";
    case BAND_EDGE:
        return "on the edge: will be seen";
    case BAND_TURN:
        return "in the turn: hidden under the frame";
    case BAND_GRIP:
    case BAND_COUNT:
        break;
    }
    return "in the grip: cut off again";
}

/// Each note on a line of its own.
static void add_note(Text *notes, const char *note)
{
    text_add(notes, "%s%s", notes->length > 0 ? "\n" : "", note);
}

const char *steps_cover_notes(const PackMatter *matter, const PlacedCover *cover, Arena *keep)
{
    const double worth_saying_rad = 5 * RAD_PER_DEG;
    const Hide *hide = &matter->hides[cover->hide];
    Text notes = {.keep = keep};
    int said = 0;
    for (int i = 0; i < cover->touch_count && said < NOTES_MAX; i++) {
        const Touch *touch = &cover->touches[i];
        const char *what = touch->flaw >= 0     ? flaw_words(hide, touch->flaw, keep)
                           : touch->region >= 0 ? region_words(&hide->regions[touch->region], keep)
                                                : NULL;
        if (what) {
            add_note(&notes, arena_text(keep, "%s %s", what, band_words(touch->band)));
            said++;
        }
    }
    if (cover->touch_count > NOTES_MAX) {
        add_note(&notes, arena_text(keep, "and %d more flaws", cover->touch_count - NOTES_MAX));
    }
    const char *beside = beside_text(matter->demands, matter->demand_count, cover->demand, keep);
    if (*beside) {
        add_note(&notes, arena_text(keep, "stands beside %s: compare the shade", beside));
    }
    if (cover->off_firm_rad > worth_saying_rad) {
        add_note(&notes, arena_text(keep, "%.0f° off the firm direction",
                                    cover->off_firm_rad / RAD_PER_DEG));
    }
    return text_string(&notes);
}
