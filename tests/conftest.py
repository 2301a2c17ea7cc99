"""What every test starts from: no test fails because a machine was slow for a moment."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# Both watch the clock on the wall, which says more about what else a machine does than about the program. On a build
# machine Hypothesis does the same by itself, and draws the same examples each time; that is left as it is.
if settings.get_current_profile_name() == "default":
    settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
    settings.load_profile("any machine")
