// Writes samples of what the paper module makes into a folder, for template_pdf.py, dxf_read.py
// and buying_pdf.py, and prints the measures that they should find, as JSON.
#include "base/json.h"
#include "paper/pack.h"
#include "support/sample_buying.h"

#include <stdlib.h>

static void keep_file(const char *folder, const char *name, Bytes bytes, Arena *arena)
{
    FILE *file = fopen(arena_text(arena, "%s/%s", folder, name), "wb");
    if (!file || fwrite(bytes.data, 1, bytes.length, file) != bytes.length || fclose(file) != 0) {
        fprintf(stderr, "could not write %s\n", name);
        exit(1);
    }
}

static void keep_templates(const PackMatter *matter, const char *folder, const char *name,
                           Arena *arena)
{
    Pages pages = {.keep = arena};
    pack_templates(matter, &pages);
    Bytes bytes = {0};
    if (!paper_pdf(pages.items, pages.count,
                   (PaperTitle){"Samples \xE2\x80\x93 caf\xC3\xA9", "2026-01-31"}, NULL, arena,
                   &bytes)) {
        exit(1);
    }
    keep_file(folder, name, bytes, arena);
}

/// The pages for buying of four jobs; returns the first one's matter.
static const BuyingMatter *keep_buying(const char *folder, Arena *arena)
{
    static const struct {
        const char *name;
        SampleWish job;
        SampleBuying buying;
    } samples[] = {
        {"buying-a4.pdf", {0}, {0}},
        {"buying-letter.pdf", {.paper = PAPER_LETTER}, {.pieces = 2}},
        {"buying-metric.pdf", {.metric = true}, {.stopped = true, .trials = 7, .no_offers = true}},
        {"buying-long.pdf", {.long_names = true}, {.long_names = true, .offers = 20, .seats = 60}},
    };
    const BuyingMatter *first = NULL;
    for (size_t i = 0; i < sizeof samples / sizeof samples[0]; i++) {
        const PackMatter *matter = sample_matter(samples[i].job, arena);
        const BuyingMatter *buying = sample_buying(samples[i].buying, matter, arena);
        Pages pages = {.keep = arena};
        pack_buying(matter, buying, &pages);
        Bytes bytes = {0};
        if (!paper_pdf(pages.items, pages.count, (PaperTitle){"Buying", "2026-01-31"}, NULL, arena,
                       &bytes)) {
            exit(1);
        }
        keep_file(folder, samples[i].name, bytes, arena);
        first = first ? first : buying;
    }
    return first;
}

static void print_curve(Json *json, const Tally *tally)
{
    json_begin_array(json, "curve");
    for (int step = 0; step < AREA_STEPS; step++) {
        const Chance chance = tally_chance(tally, step, CHANCE_Z);
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, step * area_step_mm2 / MM2_PER_FT2);
        json_number(json, NULL, chance.share);
        json_number(json, NULL, chance.low);
        json_number(json, NULL, chance.high);
        json_end_array(json);
    }
    json_end_array(json);
}

static void print_costs(Json *json, const OfferRanking *ranking)
{
    json_begin_array(json, "costs");
    for (int i = 0; i < ranking->count; i++) {
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, (double)ranking->items[i].bill[BILL_EXPECTED].total / 100);
        json_number(json, NULL, (double)ranking->items[i].expected / 100);
        json_end_array(json);
    }
    json_end_array(json);
}

static Drawing *words(Arena *arena)
{
    Drawing *drawing = drawing_create(123.4, 56.7, "words & <signs>", arena);
    const Point box[] = {{10, 5}, {50.1234, 5}, {50.1234, 30}, {10, 30}};
    draw_shape(drawing, LAYER_HIDE, (Ring){box, 4}, true);
    draw_line(drawing, LAYER_TACK, (Point){0, 0}, (Point){123.4, 56.7});
    draw_text(drawing, LAYER_TEXT, (Point){20, 10}, 4, ALIGN_MIDDLE, true, 0.5, "%s",
              "caf\xC3\xA9 50% \\U+0041 <&>");
    return drawing;
}

/// A line on each layer.
static Drawing *layers(Arena *arena)
{
    Drawing *drawing = drawing_create(100, 100, "layers", arena);
    for (int i = 0; i < LAYER_COUNT; i++) {
        draw_line(drawing, (DrawLayer)i, (Point){0, i}, (Point){100, i});
    }
    return drawing;
}

static void print_ring(Json *json, const char *key, Ring ring)
{
    json_begin_array(json, key);
    for (int i = 0; i < ring.count; i++) {
        json_begin_flat_array(json, NULL);
        json_number(json, NULL, ring.points[i].x);
        json_number(json, NULL, ring.points[i].y);
        json_end_array(json);
    }
    json_end_array(json);
}

int main(int count, char **arguments)
{
    if (count != 2) {
        fprintf(stderr, "usage: paper_samples FOLDER\n");
        return 2;
    }
    const char *folder = arguments[1];
    Arena *arena = arena_create("samples", TEST_ARENA_BYTES);
    const Cover cover = sample_cover(1, arena);
    const CoverDemand demand = {&cover, "A", "Dining seat", NULL, 6, 0};
    Job job = {.name = "Samples", .paper = PAPER_A4};
    const PackMatter matter = {
        .job = &job, .demands = &demand, .demand_count = 1, .date = "2026-01-31"};
    keep_templates(&matter, folder, "a4.pdf", arena);
    job.paper = PAPER_LETTER;
    keep_templates(&matter, folder, "letter.pdf", arena);
    Drawing *const drawings[] = {pack_cover_full_size(&matter, 0, arena), words(arena),
                                 layers(arena)};
    const char *const names[] = {"cover", "words", "layers"};
    for (int i = 0; i < 3; i++) {
        Text svg = {.keep = arena};
        paper_svg(drawings[i], &svg);
        keep_file(folder, arena_text(arena, "%s.svg", names[i]), (Bytes){svg.bytes, svg.length},
                  arena);
        Text dxf = {.keep = arena};
        paper_dxf(drawings[i], &dxf);
        keep_file(folder, arena_text(arena, "%s.dxf", names[i]), (Bytes){dxf.bytes, dxf.length},
                  arena);
    }
    Json json = {.text.keep = arena};
    json_begin_object(&json, NULL);
    const BuyingMatter *buying = keep_buying(folder, arena);
    print_curve(&json, &buying->asked->study->tally);
    print_costs(&json, &buying->offers->choice->ranking);
    print_ring(&json, "cut_mm", cover.cut);
    print_ring(&json, "turn_mm", cover.within[BAND_TURN]);
    print_ring(&json, "edge_mm", cover.within[BAND_EDGE]);
    print_ring(&json, "face_mm", cover.within[BAND_FACE]);
    print_ring(&json, "tack_mm", cover.tack_line);
    print_ring(&json, "frame_mm", cover.frame);
    json_end_object(&json);
    puts(text_string(&json.text));
    arena_destroy(arena);
    return 0;
}
