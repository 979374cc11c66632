#include "strip_files.h"

#include "files.h"

#include <math.h>

static const double wanted_width_mm = 1000;
static const double units_in_mm = 100; // the engine's lattice
// An instance's unit is so many lattice units times a whole number, where it is long enough, so
// that simple fractions of it lie on the lattice too.
static const double smooth = 60;
static const double smooth_from = 600;
static const double longest_mm = 190000;
static const double radians_in_degree = 3.14159265358979323846 / 180;

const char *const strip_columns[STRIP_COLUMNS] = {"2006", "2010", "2012", "2013",
                                                  "2017", "2019", "2025"};

// Where each column stands in published_densities.json.
static const char *const column_keys[STRIP_COLUMNS] = {
    "gomes_oliveira_2006", "bennell_song_2010", "average_leung_2012", "average_elkeran_2013",
    "average_wang_2017",   "average_sato_2019", "average_2025"};

// An angle, or two between which all are allowed.
static bool read_turn(const json_t *from, TurnRange *turn)
{
    const json_t *first = json_is_array(from) ? json_array_get(from, 0) : from;
    const json_t *last = json_is_array(from) ? json_array_get(from, 1) : from;
    if (!json_is_number(first) || !json_is_number(last)) {
        return false;
    }
    *turn = (TurnRange){json_number_value(first) * radians_in_degree,
                        json_number_value(last) * radians_in_degree};
    return true;
}

static TurnRange *read_turns(const json_t *degrees, Arena *keep, int *count)
{
    const size_t size = json_array_size(degrees);
    if (size < 1 || size > LAYOUT_TURNS_MAX) {
        return NULL;
    }
    TurnRange *turns = ARENA_ARRAY(keep, TurnRange, size);
    for (size_t i = 0; i < size; i++) {
        if (!read_turn(json_array_get(degrees, i), &turns[i])) {
            return NULL;
        }
    }
    *count = (int)size;
    return turns;
}

static bool read_piece(const json_t *from, Arena *keep, Piece *piece, int *id)
{
    const json_t *number = json_object_get(from, "id");
    const json_t *demand = json_object_get(from, "demand");
    if (!json_is_integer(number) || !json_is_integer(demand) || json_integer_value(demand) < 1 ||
        json_integer_value(demand) > LAYOUT_COPIES_MAX) {
        return false;
    }
    *id = (int)json_integer_value(number);
    piece->demand = (int)json_integer_value(demand);
    piece->depth_count = 1;
    piece->turn_symmetry = 1;
    return files_ring(json_object_get(from, "outline"), keep, &piece->outline[0]);
}

static bool read_pieces(const json_t *list, Arena *keep, StripInstance *instance)
{
    const size_t count = json_array_size(list);
    if (count < 1 || count > LAYOUT_PIECES_MAX) {
        return false;
    }
    int *ids = ARENA_ARRAY(keep, int, count);
    instance->pieces = ARENA_ARRAY(keep, Piece, count);
    instance->piece_count = (int)count;
    instance->ids = ids;
    for (size_t i = 0; i < count; i++) {
        Piece *piece = &instance->pieces[i];
        if (!read_piece(json_array_get(list, i), keep, piece, &ids[i])) {
            return false;
        }
        piece->value = ring_area_mm2(piece->outline[0]);
        instance->area += piece->value * piece->demand;
    }
    return true;
}

static bool read_common(const json_t *root, const char *path, Arena *keep, StripInstance *instance,
                        Problems *problems)
{
    const char *name = json_string_value(json_object_get(root, "name"));
    if (!name) {
        return files_refuse(problems, path, "name", "a text");
    }
    instance->name = arena_copy_text(keep, name);
    int turn_count = 0;
    const TurnRange *turns =
        read_turns(json_object_get(root, "allowed_rotations_deg"), keep, &turn_count);
    if (!turns) {
        return files_refuse(problems, path, "allowed_rotations_deg",
                            "1 to 8 angles, or pairs of angles");
    }
    if (!read_pieces(json_object_get(root, "pieces"), keep, instance)) {
        return files_refuse(problems, path, "pieces",
                            "1 to 500 pieces, each with a whole id, a demand from 1 to 1000 and an "
                            "outline of 3 to 5000 points");
    }
    for (int i = 0; i < instance->piece_count; i++) {
        instance->pieces[i].turns = turns;
        instance->pieces[i].turn_count = turn_count;
    }
    return true;
}

static bool read_strip(const json_t *root, const char *path, Arena *keep, StripInstance *instance,
                       Problems *problems)
{
    instance->width = json_number_value(json_object_get(root, "strip_width"));
    if (!(instance->width > 0)) {
        return files_refuse(problems, path, "strip_width", "a number greater than 0");
    }
    return read_common(root, path, keep, instance, problems);
}

bool strip_instance_read(const char *path, Arena *keep, StripInstance *instance, Problems *problems)
{
    json_t *root = files_load(path, problems);
    if (!root) {
        return false;
    }
    StripInstance made = {0};
    const bool read = read_strip(root, path, keep, &made, problems);
    json_decref(root);
    if (read) {
        *instance = made;
    }
    return read;
}

static bool read_bin(const json_t *root, const char *path, Arena *keep, BinInstance *instance,
                     Problems *problems)
{
    const json_t *bin = json_array_get(json_object_get(root, "containers"), 0);
    if (!files_ring(json_object_get(bin, "outline"), keep, &instance->bin)) {
        return files_refuse(problems, path, "containers[0].outline", "3 to 5000 points");
    }
    const json_t *known = json_object_get(json_object_get(root, "known_optimum"), "containers");
    const json_int_t bins = json_integer_value(known);
    if (bins < 1 || bins > LAYOUT_SHEETS_MAX) {
        return files_refuse(problems, path, "known_optimum.containers", "1 to 50");
    }
    instance->known_bins = (int)bins;
    return read_common(root, path, keep, &instance->pieces, problems);
}

bool bin_instance_read(const char *path, Arena *keep, BinInstance *instance, Problems *problems)
{
    json_t *root = files_load(path, problems);
    if (!root) {
        return false;
    }
    BinInstance made = {0};
    const bool read = read_bin(root, path, keep, &made, problems);
    json_decref(root);
    if (read) {
        *instance = made;
    }
    return read;
}

static Ring scaled(Ring ring, double factor, Arena *keep)
{
    Point *points = ARENA_ARRAY(keep, Point, ring.count);
    for (int i = 0; i < ring.count; i++) {
        points[i] = point_times(ring.points[i], factor);
    }
    return (Ring){points, ring.count};
}

StripTask strip_task(const StripInstance *instance, Arena *keep)
{
    double in_unit = fmax(1, round(units_in_mm * wanted_width_mm / instance->width));
    in_unit = in_unit >= smooth_from ? round(in_unit / smooth) * smooth : in_unit;
    const double mm_per_unit = in_unit / units_in_mm;
    Piece *pieces = ARENA_ARRAY(keep, Piece, instance->piece_count);
    double length_mm = 0; // one behind the other, each along its diagonal
    for (int i = 0; i < instance->piece_count; i++) {
        pieces[i] = instance->pieces[i];
        pieces[i].outline[0] = scaled(instance->pieces[i].outline[0], mm_per_unit, keep);
        pieces[i].value = instance->pieces[i].value * mm_per_unit * mm_per_unit;
        const Box box = ring_box(pieces[i].outline[0]);
        length_mm += pieces[i].demand * ceil(point_distance(box.min, box.max) + 1);
    }
    length_mm = fmin(length_mm, longest_mm);
    const double width_mm = instance->width * mm_per_unit;
    Point *corners = ARENA_ARRAY(keep, Point, 4);
    corners[1] = (Point){length_mm, 0};
    corners[2] = (Point){length_mm, width_mm};
    corners[3] = (Point){0, width_mm};
    Sheet *sheet = ARENA_NEW(keep, Sheet);
    sheet->outline = (Ring){corners, 4};
    return (StripTask){mm_per_unit, (LayoutTask){.sheets = sheet,
                                                 .sheet_count = 1,
                                                 .pieces = pieces,
                                                 .piece_count = instance->piece_count,
                                                 .aim = LAYOUT_SHORTEST_STRIP}};
}

bool strip_published_read(const char *path, const char *name, StripPublished *published,
                          Problems *problems)
{
    json_t *root = files_load(path, problems);
    if (!root) {
        return false;
    }
    const json_t *entry = json_object_get(json_object_get(root, "instances"), name);
    for (int i = 0; i < STRIP_COLUMNS; i++) {
        const json_t *value = json_object_get(entry, column_keys[i]);
        if (json_is_object(value)) {
            value = json_object_get(value, "density");
        }
        published->density[i] = json_number_value(value);
    }
    json_decref(root);
    return true;
}
