// Who stands beside whom.
#include "job/job.h"

#include <string.h>

static bool same(const char *a, const char *b)
{
    return a && b && strcmp(a, b) == 0;
}

// `kind, chair`
static bool is_full_name(const char *name, const JobSeat *seat, const JobChair *chair)
{
    const size_t length = seat->name ? strlen(seat->name) : 0;
    return length > 0 && strncmp(name, seat->name, length) == 0 &&
           strncmp(name + length, ", ", 2) == 0 && same(name + length + 2, chair->name);
}

int job_find(const Job *job, const char *name, JobPlace *place)
{
    for (int s = 0; s < job->seat_count; s++) {
        if (same(job->seats[s].name, name)) { // kinds have names of their own
            *place = (JobPlace){s, -1};
            return 1;
        }
    }
    int found = 0;
    for (int s = 0; s < job->seat_count; s++) {
        const JobSeat *seat = &job->seats[s];
        for (int c = 0; c < seat->chair_count; c++) {
            if (same(seat->chairs[c].name, name) || is_full_name(name, seat, &seat->chairs[c])) {
                *place = found == 0 ? (JobPlace){s, c} : *place;
                found++;
            }
        }
    }
    return found;
}

// Kinds come first, then all chairs in a row.
typedef struct Groups {
    const Job *job;
    int parent[JOB_SEATS_MAX + JOB_CHAIRS_MAX];
    bool said[JOB_SEATS_MAX + JOB_CHAIRS_MAX]; // named, or names another
} Groups;

static int node_of(const Groups *groups, JobPlace place)
{
    if (place.chair < 0) {
        return place.seat;
    }
    int node = groups->job->seat_count + place.chair;
    for (int s = 0; s < place.seat; s++) {
        node += groups->job->seats[s].chair_count;
    }
    return node;
}

static int root_of(Groups *groups, int node)
{
    while (groups->parent[node] != node) {
        node = groups->parent[node];
    }
    return node;
}

static void join(Groups *groups, JobPlace place, const char *beside)
{
    JobPlace other;
    if (!beside || job_find(groups->job, beside, &other) != 1) {
        return;
    }
    const int a = node_of(groups, place);
    const int b = node_of(groups, other);
    groups->said[a] = groups->said[b] = true;
    groups->parent[root_of(groups, a)] = root_of(groups, b);
}

void job_groups(const Job *job, int *of_seat, int *of_chair)
{
    Groups groups = {.job = job};
    for (int i = 0; i < JOB_SEATS_MAX + JOB_CHAIRS_MAX; i++) {
        groups.parent[i] = i;
    }
    for (int s = 0; s < job->seat_count; s++) {
        join(&groups, (JobPlace){s, -1}, job->seats[s].beside);
        for (int c = 0; c < job->seats[s].chair_count; c++) {
            join(&groups, (JobPlace){s, c}, job->seats[s].chairs[c].beside);
        }
    }
    int row = 0;
    for (int s = 0; s < job->seat_count; s++) {
        of_seat[s] = groups.said[s] ? root_of(&groups, s) + 1 : 0;
        for (int c = 0; c < job->seats[s].chair_count; c++, row++) {
            const int node = job->seat_count + row;
            of_chair[row] = groups.said[node] ? root_of(&groups, node) + 1 : of_seat[s];
        }
    }
}
