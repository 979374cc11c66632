// In the shop: what to look at on a hide, and a table for the hides seen. What the points
// rest on stands in docs/buying.md.
#include "paper/buying.h"
#include "paper/table.h"

static const char title[] = "In the shop";
static const char seen_title[] = "Hides seen";
enum { SEEN_ROWS = 12 };
#define SEEN_ROW_MM 11.0
#define SEEN_OTHERS_MM 212.0 ///< columns other than the notes, and the gaps

static const char *const stamp_points[] = {
    "The area is stamped on the flesh side. In square feet the small figure counts quarters: 52¹, "
    "52² and 52³, or 52.1, 52.2 and 52.3, are 52 1/4, 52 1/2 and 52 3/4. No quarter is above 3: "
    "where you read 52.4 or 52.75, ask whether these are plain decimals.",
    "In metric countries it is square decimetres, or square metres with two decimals: 485 or 4.85 "
    "is "
    "52.2 ft². A square foot is 9.29 dm²; 10.76 make a square metre.",
    "Ask which foot. Some traders call 30 × 30 cm a foot, which is 3 in 100 less, or 25 × 25 cm, "
    "which is a third less.",
    "Each hide is billed to the nearest quarter of a square foot, or to the nearest square "
    "decimetre. Then they are added up.",
    "Tape it: the greatest length times the greatest width, over everything, times 0.7 is about "
    "the "
    "area; between 0.67 and 0.74 is usual. A stamp and a careful measurement agree to 2 in 100; "
    "from 3 in 100 on, talk to the seller.",
};

static const char *const face_points[] = {
    "Lay it flat, grain up, by daylight, and walk round it. Ring with chalk, as far as the seller "
    "likes it: holes, brands, open scars. Count healed scars, tick marks and veins.",
    "Turn it. On the flesh side look for flay cuts: scores of the knife that left the leather "
    "thin. "
    "Draw a fingertip over them and bend them grain out; one that shows as a line is deep. Hold "
    "the hide against the light: thin spots and holes shine.",
    "Folds at the neck run across the backbone. Measure how far they reach down from the neck: "
    "that "
    "part is for seats whose look can bear it, or for none.",
    "Bend the grain inward over a finger, at the butt, the shoulder and the belly. Fine wrinkles "
    "are "
    "firm grain; coarse pipes are loose grain, and no face of a seat.",
    "Look at the shape: one about as long as it is wide has a short neck and cuts better than a "
    "long "
    "narrow one.",
};

static const char *const hand_points[] = {
    "Take hold with both hands, a hand's breadth apart, and pull along the backbone at the butt: "
    "that "
    "is the firmest leather of the hide. Pull again across, then at the shoulder, the belly and "
    "the "
    "flank, and compare. Where it gives twice as much and stays long, no face may lie.",
    "Pinch a fold: the butt makes a round, springy one, the belly a flat one that stays.",
    "The belly begins about 3/8 of the backbone's length out from it. Both bellies together are a "
    "good fifth of the stamp. Press on with the hand test to see where it begins on this hide.",
    "Feel the thickness at the butt, the belly and the neck, better with a gauge; a tenth of a "
    "millimetre of difference is usual.",
};

static const char *const finish_points[] = {
    "Look at a cut edge. Colour right through: dyed in the drum; scratches show little. A pale or "
    "grey core: the colour lies on top.",
    "Rub a corner twenty times with a white cloth, dry and then damp, if the seller agrees. Colour "
    "on the cloth comes off on clothes too. The values of the data sheet say it better.",
    "Put a drop of water on a corner, if the seller agrees. It stands on a coat and sinks into "
    "bare "
    "leather; dry, it should leave no ring.",
    "Fold the grain outward, sharply, and look along the fold: a coat that turns pale or cracks "
    "will "
    "do so at your corners.",
    "Two hides for one set: side by side, by daylight, heads the same way. Ask for one dye lot, "
    "and "
    "note its number.",
};

static const char *const pay_points[] = {
    "The stamp, the price for each square foot or metre, with or without tax, and what comes on "
    "top: "
    "least order, cutting, shipping.",
    "Whether it goes back uncut, until when, and at whose cost. Cut leather is seldom taken back, "
    "so "
    "lay all covers out before the first cut.",
    "Whether more of this lot can be had if it falls short, and for how long it is kept.",
    "Carry it rolled, grain side out, never folded. A whole hide on a roll is long: carry it by "
    "two, "
    "and mind hooks, clamps and ladders between the racks.",
};

static void add_points(Flow *flow, const char *heading, const char *const *points, size_t count)
{
    flow_heading(flow, heading, 16);
    for (size_t i = 0; i < count; i++) {
        flow_check(flow, points[i]);
    }
}
#define ADD_POINTS(flow, heading, points)                                                          \
    add_points((flow), (heading), (points), sizeof(points) / sizeof *(points))

/// The cover with the largest box, which is the one to take along.
static const CoverDemand *largest_cover(const PackMatter *matter)
{
    const CoverDemand *largest = NULL;
    for (int i = 0; i < matter->demand_count; i++) {
        const CoverDemand *demand = &matter->demands[i];
        if (!largest || demand->cover->gross_area_mm2 > largest->cover->gross_area_mm2) {
            largest = demand;
        }
    }
    return largest;
}

static void add_luggage(Flow *flow)
{
    Arena *keep = flow->pages->keep;
    const LengthUnit unit = flow->matter->job->units.length;
    const CoverDemand *largest = largest_cover(flow->matter);
    flow_heading(flow, "Take along", 16);
    flow_check(flow, "A tape, chalk that wipes off, a white cloth, this list and a pencil; a "
                     "thickness gauge, if you have one; something of the room to match the shade.");
    if (largest) {
        const Box box = ring_box(largest->cover->cut);
        flow_check(flow,
                   arena_text(keep,
                              "A template of the largest cover as cut: %s, %s × %s, front to back "
                              "along the backbone. See how often it finds clean, firm leather.",
                              largest->name, length_digits(box.max.x - box.min.x, unit, keep),
                              length_text(box.max.y - box.min.y, unit, keep)));
    }
}

/// What to look for, as far as it is known.
static const char *wanted_text(const BuyingMatter *buying, AreaUnit unit, Arena *keep)
{
    Text text = {.keep = keep};
    text_add(&text, "Wanted: %s", buying->leather->words);
    const AskedFor *asked = buying->asked;
    if (asked && asked->study->area.step < AREA_STEPS) {
        text_add(&text, "; %d %s stamped at least %s%s", asked->pieces,
                 hide_forms_word(asked->form, asked->pieces),
                 area_step_text(asked->study->area.step, unit, keep),
                 asked->pieces == 1 ? "" : " each");
    }
    text_add(&text, ".");
    return text_string(&text);
}

static void add_seen(const PackMatter *matter, const BuyingMatter *buying, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, seen_title, true);
    Arena *keep = pages->keep;
    const Units units = matter->job->units;
    flow_paragraph(&flow, wanted_text(buying, units.area, keep));
    const char *length = length_unit_name(units.length);
    // What is wider than Letter goes to the notes.
    const double notes_mm = flow.room.max.x - flow.room.min.x - SEEN_OTHERS_MM;
    Table table = {
        .columns = {{.head = "no.", .least_mm = 7},
                    {.head = "seller, hide, lot", .least_mm = 34},
                    {.head = "stamp as it reads", .least_mm = 17},
                    {.head = "price", .least_mm = 19},
                    {.head = arena_text(keep, "backbone, %s", length), .least_mm = 19},
                    {.head = arena_text(keep, "narrowest width, %s", length), .least_mm = 21},
                    {.head = "holes", .least_mm = 13},
                    {.head = "brands, where", .least_mm = 17},
                    {.head = "belly loose from, out", .least_mm = 20},
                    {.head = "notes", .least_mm = notes_mm}},
        .column_count = 10,
        .row_mm = SEEN_ROW_MM,
        .ruled = true,
        .keep = keep};
    for (int i = 0; i < SEEN_ROWS; i++) {
        table_row(&table, (const char *[]){arena_text(keep, "%d", i + 1), NULL, NULL, NULL, NULL,
                                           NULL, NULL, NULL, NULL, NULL});
    }
    table_draw(&table, &flow);
    flow_paragraph(&flow,
                   "Narrowest width: across the backbone, between the flanks. Read both from a "
                   "tape laid flat, not along the belly.");
}

void pack_shop(const PackMatter *matter, const BuyingMatter *buying, Pages *pages)
{
    Flow flow = flow_begin(matter, pages, title, false);
    add_luggage(&flow);
    ADD_POINTS(&flow, "The stamp", stamp_points);
    ADD_POINTS(&flow, "Both faces", face_points);
    ADD_POINTS(&flow, "Butt from belly, by hand", hand_points);
    ADD_POINTS(&flow, "Dye and finish", finish_points);
    ADD_POINTS(&flow, "Before you pay", pay_points);
    add_seen(matter, buying, pages);
}

void pack_buying(const PackMatter *matter, const BuyingMatter *buying, Pages *pages)
{
    if (buying->asked) {
        pack_ask(matter, buying->asked, pages);
    }
    pack_leather(matter, buying->leather, pages);
    if (buying->offers) {
        pack_offers(matter, buying->offers, pages);
    }
    pack_shop(matter, buying, pages);
}
