// Property: whatever good job is read, writing it and reading that gives the same job
// again, and the same bytes when it is written once more.
//
// The jobs are drawn at random from the tables: every field that a variant has, with
// values over the whole of its limits, as numbers and as texts.
#include "files.h"
#include "job/fields.h"

#include "base/random.h"
#include "support/trials.h"

typedef struct Maker {
    Random random;
    Json json;
    Units units;
    int names;             ///< given so far, so that each is new
    int count;             ///< chairs of the present seat kind
    FrameShape shape;      ///< of the present seat kind
    const char *seat;      ///< name of the present seat kind
    const char *neighbour; ///< and of the one before it, or NULL
    bool priced;           ///< all hides have a price, else none
    int decimals;          ///< of the currency
    int half;              ///< of the present side: 0 left, 1 right; -1: not a side
    const char *grades[3]; ///< that the job names
    int grade_count;
} Maker;

static bool chance(Maker *maker, double share)
{
    return random_share(&maker->random) < share;
}

static const char *new_name(Maker *maker)
{
    static const char *const odd[] = {"", "ä", " \\\"", "½", "/", "'", "椅"};
    return arena_text(maker->json.text.keep, "%s %d", odd[random_below(&maker->random, 7)],
                      maker->names++);
}

static double rounded(Maker *maker, double value)
{
    const double scale = pow(10, random_below(&maker->random, 7));
    return round(value * scale) / scale;
}

// A value within a field's limits, in the document's unit; often a limit itself.
static double amount(Maker *maker, const Field *field)
{
    const Limits limits = field->limits[field_system(field, maker->units)];
    if (chance(maker, 0.1)) {
        return limits.max;
    }
    if (chance(maker, 0.1) && limits.min != 0) {
        return limits.min;
    }
    const double value = rounded(maker, random_between(&maker->random, limits.min, limits.max));
    return value > limits.min && value < limits.max ? value : limits.max;
}

// The same as a text: with the other unit, or as a fraction.
static const char *length_words(Maker *maker, const Field *field, double value)
{
    Arena *keep = maker->json.text.keep;
    const Limits limits = field->limits[field_system(field, maker->units)];
    const int sixteenths = random_below(&maker->random, 16);
    if (floor(value) >= fmax(limits.min, 1) && value + 1 < limits.max && chance(maker, 0.5)) {
        return arena_text(keep, "%d %d/16", (int)value, sixteenths);
    }
    const double inside = 0.01 * (limits.min + limits.max) / 2 + 0.99 * value;
    const double mm = field_to_inside(field, inside, maker->units);
    return chance(maker, 0.5) ? arena_text(keep, "%.4f mm", mm)
                              : arena_text(keep, "%.6f\"", mm / MM_PER_IN);
}

static void make_measure(Maker *maker, const char *key, const Field *field)
{
    const double value = amount(maker, field);
    if ((field->kind == FIELD_LENGTH || field->kind == FIELD_LEATHER) && chance(maker, 0.2)) {
        json_text(&maker->json, key, length_words(maker, field, value));
    } else {
        json_number(&maker->json, key, value);
    }
}

static void make_object(Maker *maker, const char *key, const ObjectType *type, bool correction);

static void make_points(Maker *maker, const Field *field)
{
    if (field->kind == FIELD_PLACE) {
        make_object(maker, field->key, &place_type, false);
        return;
    }
    json_begin_array(&maker->json, field->key);
    const int count = field->count_min + random_below(&maker->random, 4);
    for (int i = 0; i < count; i++) {
        if (field->kind == FIELD_PLACES) {
            make_object(maker, NULL, &place_type, false);
            continue;
        }
        json_begin_array(&maker->json, NULL);
        json_number(&maker->json, NULL, amount(maker, field));
        json_number(&maker->json, NULL, amount(maker, field));
        json_end_array(&maker->json);
    }
    json_end_array(&maker->json);
}

static void make_list(Maker *maker, const Field *field)
{
    int most = 3;
    if (field->type == &chair_type && most > maker->count) {
        most = maker->count;
    }
    const int more = most > field->count_min ? random_below(&maker->random, most + 1) : 0;
    json_begin_array(&maker->json, field->key);
    for (int i = 0; i < field->count_min + more; i++) {
        make_object(maker, NULL, field->type, false);
    }
    json_end_array(&maker->json);
}

static void make_units(Maker *maker, const char *key)
{
    const bool inch = maker->units.length == LENGTH_IN;
    if (maker->units.area == (AreaUnit)inch && maker->units.leather == (LeatherUnit)inch &&
        chance(maker, 0.7)) {
        json_text(&maker->json, key, inch ? "in" : "mm");
        return;
    }
    json_begin_object(&maker->json, key);
    json_text(&maker->json, "length", inch ? "in" : "mm");
    json_text(&maker->json, "area", maker->units.area == AREA_FT2 ? "ft2" : "m2");
    json_text(&maker->json, "leather", maker->units.leather == LEATHER_OZ ? "oz" : "mm");
    json_end_object(&maker->json);
}

static void make_currency(Maker *maker, const char *key)
{
    static const char *const codes[] = {"EUR", "JPY", "KWD", "XYZ"};
    const char *code = codes[random_below(&maker->random, 4)];
    maker->decimals = currency_decimals(code);
    json_text(&maker->json, key, code);
}

// One of ours, or of the job's own.
static void make_grade(Maker *maker, const char *key)
{
    const int which = random_below(&maker->random, HIDE_GRADES + maker->grade_count);
    json_text(&maker->json, key,
              which < HIDE_GRADES ? hide_grades[which].name : maker->grades[which - HIDE_GRADES]);
}

static void make_value(Maker *maker, const char *key, const Field *field, bool correction)
{
    Json *json = &maker->json;
    const Limits limits = field->limits[METRIC];
    switch (field->kind) {
    case FIELD_VERSION:
        json_int(json, key, JOB_VERSION);
        break;
    case FIELD_SCHEMA:
        json_text(json, key, "any text");
        break;
    case FIELD_UNITS:
        make_units(maker, key);
        break;
    case FIELD_CURRENCY:
        make_currency(maker, key);
        break;
    case FIELD_MONEY:
        json_rounded(json, key, fmax(amount(maker, field), 1), maker->decimals);
        break;
    case FIELD_LENGTH:
    case FIELD_AREA:
    case FIELD_LEATHER:
    case FIELD_SHARE:
    case FIELD_FACTOR:
    case FIELD_DEGREES:
        make_measure(maker, key, field);
        break;
    case FIELD_STAMP:
        json_text(json, key,
                  arena_text(json->text.keep, "%d.%d", 1 + random_below(&maker->random, 109),
                             random_below(&maker->random, 4)));
        break;
    case FIELD_WHOLE:
        maker->count = 1 + random_below(&maker->random, chance(maker, 0.8) ? 6 : 20);
        json_int(json, key, maker->count);
        break;
    case FIELD_SEED:
        json_int(json, key, (long long)rounded(maker, limits.max * random_share(&maker->random)));
        break;
    case FIELD_TEXT:
    case FIELD_NOTES:
        json_text(json, key, new_name(maker));
        break;
    case FIELD_CHOICE:
        json_text(json, key, field->names[random_below(&maker->random, field->name_count)]);
        break;
    case FIELD_EITHER:
        maker->half = random_below(&maker->random, 2);
        json_text(json, key, field->names[maker->half]);
        break;
    case FIELD_YES_NO:
        json_bool(json, key, chance(maker, 0.5));
        break;
    case FIELD_GRADE:
        make_grade(maker, key);
        break;
    case FIELD_OBJECT:
        make_object(maker, key, field->type, correction);
        break;
    case FIELD_LIST:
        make_list(maker, field);
        break;
    case FIELD_OUTLINE:
    case FIELD_PLACE:
    case FIELD_PLACES:
        make_points(maker, field);
        break;
    }
}

static void make_each(Maker *maker, const Field *field, bool correction)
{
    if (field->each_alike && chance(maker, 0.5)) {
        make_value(maker, field->key, field, correction);
        return;
    }
    json_begin_object(&maker->json, field->key);
    const bool all = field->each_alike && chance(maker, 0.5);
    if (all) {
        make_value(maker, "all", field, correction);
    }
    for (int i = 0; i < field->each_count; i++) {
        if ((field->needed && !correction && !all) || chance(maker, 0.5)) {
            make_value(maker, field->each[i], field, correction);
        }
    }
    json_end_object(&maker->json);
}

// Rules between fields, for which the tables have no words. -1: none, go on.
static int rule(const Maker *maker, const ObjectType *type, const char *key, int coin)
{
    if (type == &place_type && strcmp(key, "up") != 0) {
        return coin % 3 == (strcmp(key, "left") == 0 ? 1 : 2);
    }
    if (type == &station_type && strcmp(key, "up") != 0) {
        const int own = strcmp(key, "left") == 0 ? 0 : 1;
        return maker->half < 0 ? coin % 3 != own : maker->half == own;
    }
    if (type == &hide_type && strncmp(key, "stamp", 5) == 0) {
        return coin % 3 == (strcmp(key, "stamp") == 0);
    }
    if (strcmp(key, "beside") == 0) { // chairs beside their kind, kinds beside the one before
        return coin < 30 && (type == &chair_type || maker->neighbour);
    }
    if (type == &hide_type && strcmp(key, "price") == 0) {
        return maker->priced;
    }
    if (type == &hide_type && (strcmp(key, "stations") == 0 || strcmp(key, "points") == 0)) {
        return (coin >= 50) == (strcmp(key, "points") == 0);
    }
    if (type == &job_type && strcmp(key, "currency") == 0) {
        return 1; // offers need it
    }
    if (type == &offer_type && (strcmp(key, "area") == 0 || strcmp(key, "minimum_pieces") == 0)) {
        return 0; // made apart
    }
    if (type == &offer_type && strcmp(key, "pieces") == 0) {
        return coin % 2;
    }
    if (type == &offered_piece_type && strncmp(key, "stamp", 5) == 0) {
        return (coin >= 50) == (strcmp(key, "stamp") == 0);
    }
    if (type == &board_type && strncmp(key, "bottom", 6) == 0) {
        return 0; // made apart
    }
    if (type == &notch_type || (type == &region_type && strcmp(key, "firmness") == 0)) {
        return 1;
    }
    return -1;
}

static bool wanted(Maker *maker, const ObjectType *type, const Field *field, unsigned variant,
                   bool correction)
{
    if (correction) {
        const bool inherited = type != &frame_type || variant == 1U << maker->shape ||
                               field_used(field, 1U << maker->shape);
        return (!inherited && (field->needed & variant)) || chance(maker, 0.5);
    }
    return (field->needed & variant) || chance(maker, 0.5);
}

static void make_bottom(Maker *maker)
{
    const double size = amount(maker, field_find(&board_type, "bottom_size"));
    json_text(&maker->json, "bottom", bottom_edge_names[1 + random_below(&maker->random, 2)]);
    json_number(&maker->json, "bottom_size", size);
}

// A range of areas, its ends in order.
static void make_area(Maker *maker)
{
    const Field *field = field_find(&offer_type, "area");
    const double a = amount(maker, field);
    const double b = amount(maker, field);
    if (chance(maker, 0.3)) {
        json_number(&maker->json, "area", a);
        return;
    }
    json_begin_object(&maker->json, "area");
    json_number(&maker->json, "low", fmin(a, b));
    json_number(&maker->json, "high", fmax(a, b));
    json_end_object(&maker->json);
}

// Draws a variant; writes the key that says which.
static unsigned make_variant(Maker *maker, const ObjectType *type, bool correction)
{
    int variant = random_below(&maker->random, type->variant_count);
    bool told = true;
    if (correction) {
        variant = (int)maker->shape;
        told = chance(maker, 0.5);
        if (chance(maker, 0.3)) {
            variant = chance(maker, 0.5) ? FRAME_MEASURED : FRAME_TRACED;
            told = true;
        }
    } else if (type == &frame_type) {
        maker->shape = (FrameShape)variant;
    }
    if (type->variant_key && told) {
        json_text(&maker->json, type->variant_key, type->variant_names[variant]);
    }
    return 1U << variant;
}

static void make_object(Maker *maker, const char *key, const ObjectType *type, bool correction)
{
    const int coin = random_below(&maker->random, 100);
    json_begin_object(&maker->json, key);
    unsigned variant = 1;
    if (type->variant_count > 0) {
        variant = make_variant(maker, type, correction);
    }
    if (type == &seat_type) {
        maker->count = 1;
    } else if (type == &hide_type) {
        maker->half = -1;
    }
    if (type == &offer_type && variant != 1U << HIDE_PANEL && coin % 2 == 0) {
        make_area(maker);
        json_int(&maker->json, "minimum_pieces", 1 + coin % OFFER_BUY_MAX);
    }
    if (type == &board_type && coin % 2) {
        make_bottom(maker);
    }
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        const bool told = type->variant_key && strcmp(type->variant_key, field->key) == 0;
        if (told || !field_used(field, variant)) {
            continue;
        }
        const int ruled = rule(maker, type, field->key, coin);
        if (ruled < 0 ? !wanted(maker, type, field, variant, correction) : ruled == 0) {
            continue;
        }
        if (type == &seat_type && strcmp(field->key, "name") == 0) {
            maker->neighbour = maker->seat;
            maker->seat = new_name(maker);
            json_text(&maker->json, field->key, maker->seat);
            continue;
        }
        if (type == &grade_type && strcmp(field->key, "name") == 0) {
            maker->grades[maker->grade_count] = new_name(maker);
            json_text(&maker->json, field->key, maker->grades[maker->grade_count++]);
            continue;
        }
        if (strcmp(field->key, "beside") == 0) {
            json_text(&maker->json, field->key,
                      type == &chair_type ? maker->seat : maker->neighbour);
            continue;
        }
        const bool corrects = correction || (type == &chair_type && field->kind == FIELD_OBJECT);
        if (field->each) {
            make_each(maker, field, corrects);
        } else {
            make_value(maker, field->key, field, corrects);
        }
    }
    json_end_object(&maker->json);
}

static const char *make_job(uint64_t number, Arena *keep)
{
    Maker maker = {.random = random_begin(7, number, 0), .json = {.text.keep = keep}};
    maker.units = (Units){(LengthUnit)random_below(&maker.random, 2),
                          (AreaUnit)random_below(&maker.random, 2),
                          (LeatherUnit)random_below(&maker.random, 2)};
    maker.priced = chance(&maker, 0.5);
    make_object(&maker, NULL, &job_type, false);
    return text_string(&maker.json.text);
}

static bool near(const Field *field, const char *a, const char *b, Units units)
{
    double of_a;
    double of_b;
    memcpy(&of_a, a, sizeof of_a);
    memcpy(&of_b, b, sizeof of_b);
    return fabs(field_from_inside(field, of_a - of_b, units)) <= 1.01e-6;
}

static const char *list_at(const Field *field, const char *object)
{
    const char *items = object + field->offset;
    if (!field->in_place) {
        memcpy(&items, object + field->offset, sizeof items);
    }
    return items;
}

static bool same(const ObjectType *type, const char *a, const char *b, Units units);

static bool same_items(const Field *field, const char *a, const char *b, Units units)
{
    int count;
    if (memcmp(a + field->count_offset, b + field->count_offset, sizeof count) != 0) {
        return false;
    }
    memcpy(&count, a + field->count_offset, sizeof count);
    const char *of_a = list_at(field, a);
    const char *of_b = list_at(field, b);
    for (int i = 0; i < count; i++) {
        const size_t item = field->kind == FIELD_LIST ? field->type->bytes : sizeof(Point);
        const char *item_a = of_a + (size_t)i * item;
        const char *item_b = of_b + (size_t)i * item;
        const Field length = {.kind = FIELD_LENGTH};
        const bool alike = field->kind == FIELD_LIST ? same(field->type, item_a, item_b, units)
                                                     : near(&length, item_a, item_b, units) &&
                                                           near(&length, item_a + sizeof(double),
                                                                item_b + sizeof(double), units);
        if (!alike) {
            print_error("%s[%d] differs\n", field->key, i);
            return false;
        }
    }
    return true;
}

static const char *grade_name(const char *slot)
{
    const HideGrade *grade;
    memcpy(&grade, slot, sizeof grade);
    return grade->name;
}

static bool same_value(const Field *field, const char *a, const char *b, Units units)
{
    if (field_is_measure(field)) {
        return near(field, a, b, units);
    }
    const char *of_a;
    const char *of_b;
    switch ((int)field->kind) {
    case FIELD_MONEY:
        return memcmp(a, b, sizeof(Money)) == 0;
    case FIELD_TEXT:
    case FIELD_NOTES:
    case FIELD_CURRENCY:
        memcpy(&of_a, a, sizeof of_a);
        memcpy(&of_b, b, sizeof of_b);
        return of_a && of_b ? strcmp(of_a, of_b) == 0 : of_a == of_b;
    case FIELD_GRADE:
        return strcmp(grade_name(a), grade_name(b)) == 0;
    case FIELD_WHOLE:
    case FIELD_CHOICE:
        return memcmp(a, b, sizeof(int)) == 0;
    case FIELD_SEED:
        return memcmp(a, b, sizeof(uint64_t)) == 0;
    case FIELD_YES_NO:
    case FIELD_EITHER:
        return memcmp(a, b, sizeof(bool)) == 0;
    case FIELD_UNITS:
        return memcmp(a, b, sizeof(Units)) == 0;
    case FIELD_OBJECT:
        return same(field->type, a, b, units);
    default:
        return true;
    }
}

static bool same(const ObjectType *type, const char *a, const char *b, Units units)
{
    const unsigned variant = object_variant(type, a);
    for (int i = 0; i < type->field_count; i++) {
        const Field *field = &type->fields[i];
        if (!field_used(field, variant) || field->kind == FIELD_STAMP) {
            continue; // a stamp comes back as `stamped_area`, whose value it shares
        }
        bool alike = true;
        if (field->count_offset) {
            alike = same_items(field, a, b, units);
        } else {
            for (int k = 0; k < (field->each ? field->each_count : 1); k++) {
                const size_t at = field->offset + (size_t)k * field_stride(field);
                alike = alike && same_value(field, a + at, b + at, units);
            }
        }
        if (!alike) {
            print_error("%s.%s differs\n", type->name, field->key);
            return false;
        }
    }
    return variant == object_variant(type, b);
}

static void what_is_written_is_what_was_read(void **state)
{
    Arena *keep = *state;
    const Trials trials = trials_wanted(TRIALS_OF(5000));
    for (uint64_t number = trials.first; number < trials.end; number++) {
        const ArenaMark mark = arena_mark(keep);
        const char *text = make_job(number, keep);
        const Job job = job_of(text, strlen(text), keep);
        Text once = {.keep = keep};
        job_write(&job, &once);
        const Job again = job_of(once.bytes, once.length, keep);
        Text twice = {.keep = keep};
        job_write(&again, &twice);
        if (strcmp(once.bytes, twice.bytes) != 0 ||
            !same(&job_type, (const char *)&job, (const char *)&again, job.units)) {
            fail_msg("job %d:\n%s\nonce:\n%s\ntwice:\n%s", (int)number, text, once.bytes,
                     twice.bytes);
        }
        arena_rewind(keep, mark);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST_IN_ARENA(what_is_written_is_what_was_read),
    };
    return cmocka_run_group_tests_name("job/random_jobs", tests, NULL, NULL);
}
