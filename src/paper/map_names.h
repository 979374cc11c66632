// What is written on a map: arrows and names of the covers, flaws, regions, marks.
#pragma once

#include "paper/map.h"

/// Places all of it, the most important first; what finds no place without touching
/// another text is left to the tables.
void map_name_all(Map *map);
