"""After the benches, how many times longer each reference takes."""

from typing import Any

RATIOS = (
    ("per-angle loop / cold cycle", "test_per_angle_loop", "test_cold_cycle", 1),
    ("MuJoCo / cold cycle", "test_mujoco_inverse_dynamics", "test_cold_cycle", 1),
    ("per-angle loop / change of speed", "test_per_angle_loop", "test_change_of_speed", 1),
    ("MuJoCo / change of speed", "test_mujoco_inverse_dynamics", "test_change_of_speed", 1),
    ("300 per-angle loops / sweep", "test_per_angle_loop", "test_sweep_of_a_new_design", 300),
    ("300 cold cycles / sweep", "test_cold_cycle", "test_sweep_of_a_new_design", 300),
    ("former way / ladder alone", "test_ladder_alone_in_the_former_way", "test_ladder_alone", 1),
    ("former way / ladder", "test_ladder_in_the_former_way", "test_ladder", 1),
    ("speed by speed / ladder alone", "test_ladder_alone_speed_by_speed", "test_ladder_alone", 1),
    ("one at a time / films", "test_films_one_at_a_time", "test_films[half-grooved mains]", 1),
    ("by whole ladders / ladder", "test_sensitivities_by_whole_ladders", "test_ladder", 1),
)


def pytest_terminal_summary(terminalreporter: Any, config: Any) -> None:
    session = getattr(config, "_benchmarksession", None)
    medians = {one.name: one.stats.median for one in getattr(session, "benchmarks", ())}
    if not medians:
        return
    terminalreporter.section("medians and ratios")
    for name, median in medians.items():
        terminalreporter.write_line(f"{name:36s} {median * 1e3:9.3f} ms")
    for label, reference, ours, times in RATIOS:
        if reference in medians and ours in medians:
            ratio = times * medians[reference] / medians[ours]
            terminalreporter.write_line(f"{label:36s} {ratio:9.1f} ×")
