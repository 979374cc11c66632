// What the parts of the reader share. Only src/job/read*.c include this.
#pragma once

#include "job/fields.h"

#include <jansson.h>

/// The way from the document to a value: linked upward, on the stack.
typedef struct Path {
    const struct Path *parent; ///< NULL for the document
    const char *key;           ///< or NULL for an item of a list
    int index;
} Path;

typedef struct Reading {
    Units units;
    int money_decimals; ///< of the document's currency
    JobGrade *grades;   ///< the document's own, once they are read
    int grade_count;
    bool says_more; ///< unknown keys are no mistakes
    Arena *keep;
    Problems *problems;
} Reading;

/// The text of a document that is to be read.
typedef struct SourceText {
    const char *bytes;
    size_t count;
    const char *source;  ///< names it in messages
    size_t most;         ///< bytes
    const char *example; ///< what should stand there, when it is empty
} SourceText;

/// The text as a tree, for json_decref(); NULL with its mistakes told: too long, empty, too deep,
/// no JSON. Repeated keys are told as well, but the tree is made all the same.
json_t *reading_tree(Reading *reading, SourceText text);

/// Reads a text that was sent, as a table describes it. `says_more`: keys that the table does not
/// have are read over. False with all mistakes; `object` is then untouched.
bool read_asked(SourceText text, const ObjectType *type, bool says_more, Arena *keep, void *object,
                Problems *problems);

/// `seats[2].frame.front`, in the problems' memory.
const char *path_text(const Path *path, Arena *keep);

/// True when no more problems are kept: reading may stop.
bool reading_full(const Reading *reading);

/// Memory for the texts of problems.
Arena *reading_words(const Reading *reading);

/// Adds a problem at a path. `allowed` and `remedy` may be NULL. Returns false.
bool reading_refuse(Reading *reading, const Path *path, const char *found, const char *allowed,
                    const char *remedy);

/// A text in quotes, cut short and without control characters, fit for a message.
const char *reading_quoted(const Reading *reading, const char *text);

/// Says what a JSON value is: `a list`, `the text "abc"`.
const char *reading_describe(const Reading *reading, json_t *json);

/// Refuses a key that is none of `keys`, with the nearest of them.
bool reading_refuse_key(Reading *reading, const Path *path, const char *const *keys, int count);

/// What a field allows, said to a person.
const char *reading_allowed(const Reading *reading, const Field *field);

/// Reads an object into a struct that is filled with its usual values. As a
/// correction, nothing is needed and what is left out stays.
bool read_object(Reading *reading, const Path *path, const ObjectType *type, json_t *json,
                 void *object, bool correction);

/// Reads one value of a field; `object` is the struct, `slot` where the value goes.
bool read_value(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot);

/// Reads the letters of a currency, whose decimals hold for all amounts that follow.
bool read_currency(Reading *reading, const Path *path, const Field *field, json_t *json,
                   void *slot);
/// Reads an amount of money.
bool read_money(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot);

/// Reads the name of a grade.
bool read_grade(Reading *reading, const Path *path, const Field *field, json_t *json, void *slot);

/// What must hold of a grade of the document's own; a JobGrade.
bool check_grade(Reading *reading, const Path *path, json_t *json, const void *object);

/// Reads a place on a hide, pairs of coordinates or many places.
bool read_points(Reading *reading, const Path *path, const Field *field, json_t *json,
                 void *object);

/// Refuses a list that is too short or too long; `what` is `places`.
bool read_count(Reading *reading, const Path *path, const Field *field, size_t count,
                const char *what);

/// What must hold between the fields of an object, once each is well by itself.
bool read_check(Reading *reading, const Path *path, const ObjectType *type, json_t *json,
                const void *object);
