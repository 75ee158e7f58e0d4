"""The charts of the gallery, each with the lines that make it; `make.py` runs them."""

BEFORE = """\
import mountwright as mw

shop = mw.Shop.read("demo-data/shop.toml")
pods = mw.plan(mw.Job.read("demo-data/pillar-pods.toml"), shop=shop)
rings = mw.plan(mw.Job.read("demo-data/door-rings.toml"), shop=shop)
heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
turned = {"thickness": "3 mm", "back": "turned every 8 s"}
recipe = mw.recipe("abs", heat=heat, draws=256, history=True, **turned)
"""

CHARTS = {
    "Temperature by depth": """\
hot = mw.Face(film_w_m2_k=60, gas_k=520, emissivity=0.9)
still = mw.Face(film_w_m2_k=8)
sheet = mw.Layer(
    thickness_m=3e-3,
    conductivity_w_m_k=0.18,
    density_kg_m3=1040,
    heat_capacity_j_kg_k=1900,
    start_k=293.15,
)
steps = [mw.Step(seconds=90, front=hot, back=still), mw.Step(seconds=90, front=still, back=still)]
history = mw.heat_slab([sheet], steps)
chart = mw.charts.temperatures(history, title="3 mm of ABS, one face heated for 90 s")
""",
    "Forming window": "chart = mw.charts.forming_window(recipe)\n",
    "Forming window in degrees Fahrenheit": """\
chart = mw.charts.forming_window(pods.parts[0], units="inch")
""",
    "Working range over distance and time": """\
gun = mw.HotAirGun.two_setting("II")
found = mw.distance_time_map("abs", gun=gun, distances="60 mm to 250 mm", points=120, **turned)
chart = mw.charts.working_range(found)
""",
    "Working range of foam board": """\
found = mw.distance_time_map(
    "expanded-pvc", gun=gun, distances="60 mm to 250 mm", points=120, **turned
)
chart = mw.charts.working_range(found, units="inch")
""",
    "Layout": "chart = mw.charts.sheet_layout(rings)\n",
    "Cost and price": "chart = mw.charts.cost_band(rings)\n",
    "What a range comes from": "chart = mw.charts.causes(rings)\n",
    "Ways to make a job": """\
ways = {
    "all bare": {"finish": "bare"},
    "panel of polycarbonate": {"part": "kick panel", "material": "pc"},
    "three sets": {"sets": 3},
}
job = mw.Job.read("demo-data/door-rings.toml")
chart = mw.charts.ways(mw.compare(job, shop=shop, ways=ways, draws=64))
""",
    "The day at the bench": "chart = mw.charts.bench_day(rings)\n",
}
