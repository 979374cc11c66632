"""Small jobs with a cover too many, whose answers follow from their measures."""
import copy

from program import ask


def stool(count=1, units="mm", grip=None):
    """Square seats, cut along their outline from a panel that is set later."""
    scale = 1 if units == "mm" else 1 / 25
    return {"seatwright": 1, "name": "stools", "units": units,
            "seats": [{"name": "stool", "count": count,
                       "frame": {"shape": "rectangle", "front": 400 * scale, "depth": 400 * scale},
                       "board": {"thickness": 18 * scale},
                       "padding": {"edge": 20 * scale, "crown": 0, "edge_radius": 10 * scale},
                       "fixing": {"tack_inset": 20 * scale, "hold": 12 * scale,
                                  "grip": grip if grip is not None else 30 * scale}}],
            "hides": [{"name": "offcut", "form": "panel", "length": 1, "width": 1}],
            "laying": {"turn_window": 0, "either_way": True, "gap": 0},
            "search": {"seed": 1, "work": 0.2}}


def cut_size(program, job):
    """The covers' cut, from side to side and from front to back, in the job's units."""
    bare = {key: value for key, value in job.items() if key != "hides"}
    ring = ask(program, "covers", job=bare)["covers"][0]["outline_mm"]
    scale = 1 if job["units"] == "mm" else 1 / 25.4
    return [scale * (max(p[k] for p in ring) - min(p[k] for p in ring)) for k in (0, 1)]


def with_panel(program, job, longer, wider, copies=1):
    """A panel for so many covers in a row, longer (front to back) and wider by so much."""
    wide, deep = cut_size(program, job)
    job = copy.deepcopy(job)
    job["hides"][0].update({"length": copies * deep + longer, "width": wide + wider})
    return job


def spot(job, kind, radius):
    """A flaw in the middle of the panel."""
    job = copy.deepcopy(job)
    middle = {"up": job["hides"][0]["length"] / 2}
    job["hides"][0]["flaws"] = [{"kind": kind, "at": middle, "radius": radius}]
    return job


def tight_jobs(program):
    """Jobs by name."""
    return {
        "grip": with_panel(program, stool(), -12, 5),
        "grip-inches": with_panel(program, stool(units="in"), -0.3, 0.2),
        "scar": spot(with_panel(program, stool(grip=10), 5, 5), "scar", 15),
        "hole": spot(with_panel(program, stool(grip=10), 5, 5), "hole", 15),
        "larger": with_panel(program, stool(grip=10), -12, -12),
        "one-fewer": with_panel(program, stool(count=2, grip=10), 150, 5),
        "pointless": with_panel(program, stool(count=4, grip=10), 30, 30, copies=2),
    }
