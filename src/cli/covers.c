#include "cli/command.h"
#include "cli/listing.h"

static const char *size_text(Ring ring, Units units, Arena *keep)
{
    const Box box = ring_box(ring);
    return arena_text(keep, "%s x %s", length_digits(box.max.x - box.min.x, units.length, keep),
                      length_digits(box.max.y - box.min.y, units.length, keep));
}

static const char *unit_word(LengthUnit unit)
{
    return unit == LENGTH_IN ? "inches" : "millimetres";
}

static void print_covers(Session *session, const Derived *derived)
{
    const Units units = derived->job.units;
    Arena *keep = session->keep;
    Listing listing = listing_begin("llrrrrrr", keep);
    listing_add(&listing, (const char *const[]){"cover", "for", "count", "frame", "cut size",
                                                "cuts", "stays on", "as cut"});
    double net_mm2 = 0;
    double gross_mm2 = 0;
    for (int d = 0; d < derived->demand_count; d++) {
        const CoverDemand *demand = &derived->demands[d];
        const Cover *cover = demand->cover;
        const bool straight = cover->cut.points != cover->within[BAND_GRIP].points;
        net_mm2 += demand->count * cover->net_area_mm2;
        gross_mm2 += demand->count * cover->gross_area_mm2;
        listing_add(&listing,
                    (const char *const[]){
                        demand->name, chair_text(demand, keep),
                        arena_text(keep, "%d", demand->count), size_text(cover->frame, units, keep),
                        size_text(cover->cut, units, keep),
                        straight ? arena_text(keep, "%d straight", cover->cut.count) : "following",
                        area_text(cover->net_area_mm2, units.area, keep),
                        area_text(cover->gross_area_mm2, units.area, keep)});
    }
    printf("Covers, in %s, width x depth over everything (a rounded corner takes a little off\n"
           "what was measured to its tip); areas each:\n",
           unit_word(units.length));
    listing_print(&listing, stdout);
    printf("  All together %s as cut, of which %s stays on the seats\n\n",
           area_text(gross_mm2, units.area, keep), area_text(net_mm2, units.area, keep));
}

static const char *verdict(double over_mm, LengthUnit unit, Arena *keep)
{
    // Below the least mark of a tape neither matters.
    if (fabs(over_mm) < 0.8) {
        return "just right";
    }
    return arena_text(keep, "%s %s", over_mm < 0 ? "short by" : "wastes",
                      length_digits(fabs(over_mm), unit, keep));
}

static void print_allowances(Session *session, const Derived *derived)
{
    const LengthUnit unit = derived->job.units.length;
    Arena *keep = session->keep;
    Listing listing = listing_begin("llrrrrrrll", keep);
    listing_add(&listing, (const char *const[]){"cover", "side", "over dome", "round edge",
                                                "down side", "under", "hold + grip", "allow",
                                                flat_rules[0].name, flat_rules[1].name});
    for (int d = 0; d < derived->demand_count; d++) {
        const Cover *cover = derived->demands[d].cover;
        const Sides first = cover_against_rule(cover, flat_rules[0].allowance_mm);
        const Sides second = cover_against_rule(cover, flat_rules[1].allowance_mm);
        for (int s = 0; s < SIDE_COUNT; s++) {
            const LeatherPath *path = &cover->path[s];
            listing_add(&listing,
                        (const char *const[]){
                            s == 0 ? derived->demands[d].name : "", side_names[s],
                            length_digits(path->dome_mm, unit, keep),
                            length_digits(path->round_mm, unit, keep),
                            length_digits(path->side_mm, unit, keep),
                            length_digits(path->bottom_mm + path->under_mm, unit, keep),
                            length_digits(path->hold_mm + path->grip_mm, unit, keep),
                            length_digits(path->beyond_frame_mm, unit, keep),
                            verdict(first.at[s], unit, keep), verdict(second.at[s], unit, keep)});
        }
    }
    printf("The leather's way at the middle of each side, the allowance it needs beyond the\n"
           "frame, and how flat rules would serve, in %s:\n",
           unit_word(unit));
    listing_print(&listing, stdout);
    for (int r = 0; r < FLAT_RULE_COUNT; r++) {
        printf("  %s: %s\n", flat_rules[r].name, flat_rules[r].source);
    }
}

static void print_stretch(Session *session, const Derived *derived)
{
    const LengthUnit unit = derived->job.units.length;
    Arena *keep = session->keep;
    printf("\nUnder the hands the leather gives, so expect that much more in the grip%s:\n",
           derived->job.leather.use_stretch ? " (the cuts are made smaller by it)" : "");
    for (int d = 0; d < derived->demand_count; d++) {
        const Cover *cover = derived->demands[d].cover;
        printf("  %s: %s front to back, %s side to side\n", derived->demands[d].name,
               length_text(cover->stretch_along_mm, unit, keep),
               length_text(cover->stretch_across_mm, unit, keep));
    }
}

static int run(Session *session, const Arguments *arguments)
{
    Derived derived;
    int status = EXIT_FINE;
    if (!open_job(session, arguments, &derived, &status)) {
        return status;
    }
    if (arguments->json) {
        Text text = {.keep = session->keep};
        plan_covers_json(&derived, &text);
        (void)fputs(text_string(&text), stdout);
        return EXIT_FINE;
    }
    printf("%s\n\n", derived.job.name);
    print_covers(session, &derived);
    print_allowances(session, &derived);
    print_stretch(session, &derived);
    return EXIT_FINE;
}

const Command covers_command = {
    .name = "covers",
    .summary = "work out how each cover is cut",
    .help = "seatwright covers JOB [--json]\n"
            "\n"
            "For each kind of seat, and each chair that differs from its kind: the size to cut,\n"
            "the leather's way over padding and frame at each side, and how the flat rules in\n"
            "use would serve. Needs no hide. JOB may be - for standard input.\n"
            "\n"
            "  seatwright covers examples/rowing-club.json\n"
            "  seatwright covers --json examples/small/round-stool.json\n"
            "\n"
            "Exit status: 0 done, 1 the system refused, 2 mistakes in the job, 3 no such file.\n",
    .takes_json = true,
    .run = run,
};
