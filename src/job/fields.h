// The fields of the job document: one table for each kind of object in it.
//
// The reader, the writer, the schema and the tables of docs/job-file.md all walk
// these tables, and every limit of a single value stands in them and nowhere else.
// A field knows where its value lies in the struct that its object is read into, so
// that reading and writing need no code of their own for each field.
#pragma once

#include "job/job.h"

#include <stddef.h>
#include <stdint.h>

typedef enum FieldKind {
    FIELD_VERSION,  ///< the whole number JOB_VERSION
    FIELD_SCHEMA,   ///< `$schema`, for editors; read over
    FIELD_UNITS,    ///< Units
    FIELD_CURRENCY, ///< const char *: three letters
    FIELD_MONEY,    ///< Money; in the document whole units with decimals
    FIELD_LENGTH,   ///< double, mm; in the document a length
    FIELD_AREA,     ///< double, mm2; an area
    FIELD_STAMP,    ///< double, mm2; a quarter-foot stamp, a text
    FIELD_LEATHER,  ///< double, mm; a thickness of leather
    FIELD_SHARE,    ///< double
    FIELD_FACTOR,   ///< double
    FIELD_DEGREES,  ///< double, rad; in the document degrees
    FIELD_WHOLE,    ///< int
    FIELD_SEED,     ///< uint64_t
    FIELD_TEXT,     ///< const char *, one line
    FIELD_NOTES,    ///< const char *, may have several lines
    FIELD_CHOICE,   ///< int (or an enum): index into `names`
    FIELD_EITHER,   ///< bool: index into two `names`
    FIELD_YES_NO,   ///< bool
    FIELD_OBJECT,   ///< a struct of `type`, in place
    FIELD_LIST,     ///< a list of structs of `type`
    FIELD_OUTLINE,  ///< const Point *: pairs [x, y]
    FIELD_PLACE,    ///< const Point *: one place on a hide, as place_type
    FIELD_PLACES,   ///< const Point *: places on a hide
    FIELD_GRADE,    ///< const HideGrade *: by its name, one of ours or of the document's
} FieldKind;

/// Least and greatest value, both allowed, in the unit of the document.
typedef struct Limits {
    double min;
    double max;
} Limits;

/// Index of Limits and usual values: all unit enums have the metric unit first.
enum { METRIC, IMPERIAL, UNIT_SYSTEM_COUNT };

typedef struct ObjectType ObjectType;

typedef struct Field {
    const char *key;
    const char *help; ///< one sentence
    FieldKind kind;
    unsigned uses; ///< variants that use it, as bits; 0: all
    size_t offset; ///< in the object's struct
    Limits limits[UNIT_SYSTEM_COUNT];
    Limits likely[UNIT_SYSTEM_COUNT]; ///< what is usual in the trade; for `did you mean`
    double usual[UNIT_SYSTEM_COUNT];  ///< when left out, in the document's unit; -1: not given
    const char *usual_text;           ///< said of it instead, where a number would not tell
    const char *const *names;         ///< of a choice
    const char *const *each;          ///< one value for each of these keys, side by side
    const ObjectType *type;           ///< of an object or list
    size_t count_offset;              ///< of a list, outline or places: where its int count lies
    size_t given_offset;              ///< of a bool that says whether it was given; 0: none
    unsigned needed;                  ///< variants that cannot do without it
    int name_count;
    int each_count;
    int count_min;
    int count_max;
    bool each_alike;            ///< one bare value, or the key "all", stands for every key
    bool range;                 ///< of two keys: may be a text with both, "48-52"
    bool in_place;              ///< a list that lies in the struct itself, not behind a pointer
    void (*then)(void *object); ///< of a choice: begins the fields behind it anew, as it says
} Field;

#define ALWAYS (~0U) ///< every variant

struct ObjectType {
    const char *name; ///< `frame`; its name in the schema
    const char *help; ///< one sentence
    size_t bytes;
    const Field *fields;
    int field_count;
    bool flat; ///< written on one line

    // An object may come in variants (a frame's shapes). The field `variant_key` says
    // which; without one, the key of `variant_marks` that is there.
    const char *variant_key;
    const char *const *variant_marks;
    const char *const *variant_names;
    int variant_count;
    size_t variant_offset; ///< where the variant's int lies

    void (*begin)(void *object); ///< fills in usual values that another module holds
};

enum { JOB_VERSION = 1 };

/// Whole numbers up to here are exact in every JSON reader.
#define JOB_SEED_MAX 9007199254740991.0

extern const ObjectType job_type;
extern const ObjectType leather_type;
extern const ObjectType seat_type;
extern const ObjectType chair_type;
extern const ObjectType frame_type;
extern const ObjectType notch_type;
extern const ObjectType board_type;
extern const ObjectType padding_type;
extern const ObjectType layer_type;
extern const ObjectType fixing_type;
extern const ObjectType hide_type;
extern const ObjectType household_type;
extern const ObjectType grade_type;
extern const ObjectType offer_type;
extern const ObjectType offered_piece_type;
extern const ObjectType shipping_type;
extern const ObjectType trip_type;
extern const ObjectType returns_type;
extern const ObjectType place_type; ///< read into a Station
extern const ObjectType station_type;
extern const ObjectType flaw_type;
extern const ObjectType region_type;
extern const ObjectType picture_type;
extern const ObjectType pixel_type;
extern const ObjectType laying_type;
extern const ObjectType tolerance_type;
extern const ObjectType search_type;

/// A JobHide: a document of its own, no part of a job's.
extern const ObjectType hide_document_type;

/// Every type once, in the order of docs/job-file.md.
enum { OBJECT_TYPE_COUNT = 27 };
extern const ObjectType *const object_types[OBJECT_TYPE_COUNT];

/// `front_left`, ... in the order of Corner.
extern const char *const corner_keys[CORNER_COUNT];
extern const char *const half_names[2]; ///< left, right

/// The index of a field's limits and usual values in a document with these units.
int field_system(const Field *field, Units units);

/// A value of the document in the program's own unit, and back.
double field_to_inside(const Field *field, double value, Units units);
double field_from_inside(const Field *field, double inside, Units units);

/// `in`, `ft²`, `oz`, `degrees`; "" for bare numbers.
const char *field_unit_name(const Field *field, Units units);

/// True for kinds that are stored as a double.
bool field_is_measure(const Field *field);

/// The field of a key, or NULL.
const Field *field_find(const ObjectType *type, const char *key);

/// The variant of an object as a bit; 1 for types without variants.
unsigned object_variant(const ObjectType *type, const void *object);

/// `rectangle, taper or D`: the variants of a mask, in `keep`.
const char *variant_list(const ObjectType *type, unsigned mask, Arena *keep);

/// `a, b or c`.
const char *name_list(const char *const *names, int count, Arena *keep);

/// True when a field belongs to a variant.
bool field_used(const Field *field, unsigned variant);

/// Fills an object with its usual values.
void object_begin(const ObjectType *type, void *object, Units units);

/// The same beside an object that is there: as its choices say on which others depend.
void object_begin_beside(const ObjectType *type, const void *object, void *usual, Units units);

/// Bytes from one value of an `each` field to the next.
size_t field_stride(const Field *field);

/// A chair begins as its kind.
void chair_begin(const JobSeat *seat, JobChair *chair);

/// Gives a frame another shape: the measures that both shapes use stay, the rest is 0.
void frame_reshape(Frame *frame, FrameShape shape);
