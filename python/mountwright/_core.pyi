# The compiled core: documented in src/bindings, where `help()` takes its text from.

from collections.abc import Callable, Mapping, Sequence
from os import PathLike
from typing import Any, Literal, TypeAlias, final, overload

import numpy as np
from numpy.typing import NDArray

from mountwright.heat_records import Calibration
from mountwright.records import (
    Adhesive,
    AdhesiveRanking,
    Band,
    Check,
    Checks,
    Comparison,
    Estimate,
    Finish,
    Joint,
    Layout,
    Material,
    MaterialAt,
    Materials,
    Measure,
    Openings,
    PlaceAnswer,
    PotLife,
    PriceBreak,
    Provenance,
    Quote,
    Ranked,
    Ready,
    ReadyBand,
    Record,
    ScrewHoles,
    Sheet,
    Sourced,
    WorkPlan,
)
from mountwright.shapes import (
    AdapterRing,
    Aim,
    Blank,
    FoldedPanel,
    Grille,
    MeasureSheet,
    Panel,
    PressedPod,
    Routing,
    Seals,
    Strap,
    TemplateSizes,
    Traced,
    TracedPart,
    Wedge,
)

__all__ = [
    "Climate",
    "Coupon",
    "Cure",
    "Cutout",
    "Drawing",
    "Face",
    "Form",
    "Heat",
    "Hole",
    "HotAirGun",
    "Layer",
    "Leg",
    "Melting",
    "PlanResult",
    "Screws",
    "SlabHistory",
    "Step",
    "_behind",
    "_blank_drawing",
    "_blank_mirrored",
    "_faults",
    "_forms",
    "_gun",
    "_heat",
    "_labels",
    "_line_bend",
    "_measure_drawing",
    "_memory",
    "_part",
    "_recipe",
    "_recipe_columns",
    "_recipes",
    "_ways",
    "_working_range",
    "absorption_rate",
    "adapter_ring",
    "adhesive",
    "adhesives",
    "aim",
    "band",
    "belongs",
    "blanks_to_start",
    "cabin_temperature",
    "capital_recovery",
    "card_template",
    "check_file",
    "check_fit",
    "check_panel",
    "check_ring",
    "check_strap",
    "compare",
    "compare_materials",
    "conversion",
    "covering_price",
    "critical_path",
    "critical_path_pert",
    "cure",
    "cutter_wear",
    "draw_costs",
    "estimate",
    "faces",
    "finish",
    "folded_panel",
    "free_convection_nusselt",
    "grille",
    "heat_slab",
    "jet_nusselt",
    "joint",
    "labour_rate",
    "lay_out",
    "learning",
    "machine_rate",
    "material",
    "material_at",
    "material_notes",
    "material_provenance",
    "materials",
    "may_plan",
    "measure_sheet",
    "measured_sheet",
    "openings",
    "panel",
    "plan",
    "pot_life",
    "pressed_pod",
    "price_breaks",
    "promise",
    "quantiles",
    "quantities",
    "quantity",
    "quick_recipes",
    "quote",
    "rank_adhesives",
    "rank_coats",
    "rank_materials",
    "reprice",
    "resin_path",
    "rework",
    "road_response",
    "router_template",
    "routing",
    "said",
    "schema_of",
    "screw_holes",
    "seals",
    "show",
    "soft_width",
    "standard_time",
    "still_air_film",
    "strap",
    "template_sizes",
    "text_of",
    "touch_limit",
    "trace",
    "variance_shares",
    "wedge",
]

_Before: TypeAlias = str | tuple[str, float]
_Dimension: TypeAlias = Literal[
    "length",
    "area",
    "volume",
    "angle",
    "time",
    "temperature",
    "temperature-difference",
    "mass",
    "force",
    "pressure",
    "power",
    "speed",
    "volume-flow",
    "density",
    "rotation",
    "fraction",
    "conductivity",
    "conductivity-slope",
    "heat-capacity",
    "specific-energy",
    "molar-energy",
    "expansion",
    "attenuation",
    "time-per-length",
]
_System: TypeAlias = Literal["metric", "inch"]
_Lie: TypeAlias = Literal["upright", "facing up", "facing down"]
_Where: TypeAlias = Literal["mean", "front", "back", "coldest", "hottest"]
_Column: TypeAlias = float | Sequence[float] | NDArray[np.float64]
_Question: TypeAlias = Mapping[str, str | None]

@final
class Face:
    def __new__(
        cls,
        *,
        film_w_m2_k: float = 0.0,
        gas_k: float = 293.15,
        emissivity: float = 0.0,
        surroundings_k: float = 293.15,
        flux_w_m2: float = 0.0,
        free_w_m2_k125: float = 0.0,
        still_k: float = 293.15,
    ) -> Face: ...
    @staticmethod
    def cooling(
        *, typical_k: float, air_k: float, length_m: float, emissivity: float, lie: _Lie = "upright"
    ) -> Face: ...
    @staticmethod
    def wet_cloth(*, cloth_k: float = 293.15) -> Face: ...
    @property
    def film_w_m2_k(self) -> float: ...
    @property
    def gas_k(self) -> float: ...
    @property
    def emissivity(self) -> float: ...
    @property
    def surroundings_k(self) -> float: ...
    @property
    def flux_w_m2(self) -> float: ...
    @property
    def free_w_m2_k125(self) -> float: ...
    @property
    def still_k(self) -> float: ...
    def heat_in_w_m2(self, temperature_k: float) -> float: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __getnewargs_ex__(self) -> tuple[Any, dict[str, Any]]: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...

@final
class Melting:
    def __new__(
        cls,
        *,
        latent_j_kg: float,
        melts_k: tuple[float, float, float],
        freezes_k: tuple[float, float, float] | None = None,
    ) -> Melting: ...
    @property
    def latent_j_kg(self) -> float: ...
    @property
    def melts_k(self) -> tuple[float, float, float]: ...
    @property
    def freezes_k(self) -> tuple[float, float, float]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __getnewargs_ex__(self) -> tuple[Any, dict[str, Any]]: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...

_Property: TypeAlias = float | tuple[Sequence[float], Sequence[float]]

@final
class Layer:
    def __new__(
        cls,
        *,
        thickness_m: float,
        conductivity_w_m_k: _Property,
        density_kg_m3: float,
        heat_capacity_j_kg_k: _Property,
        start_k: float | Sequence[float],
        melting: Melting | None = None,
        contact_w_m2_k: float | None = None,
        cells: int | None = None,
    ) -> Layer: ...
    @property
    def thickness_m(self) -> float: ...
    @property
    def conductivity_w_m_k(self) -> float | tuple[list[float], list[float]]: ...
    @property
    def density_kg_m3(self) -> float: ...
    @property
    def heat_capacity_j_kg_k(self) -> float | tuple[list[float], list[float]]: ...
    @property
    def start_k(self) -> float | list[float]: ...
    @property
    def melting(self) -> Melting | None: ...
    @property
    def contact_w_m2_k(self) -> float | None: ...
    @property
    def cells(self) -> int | None: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __getnewargs_ex__(self) -> tuple[Any, dict[str, Any]]: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...

@final
class Step:
    def __new__(cls, *, seconds: float, front: Face, back: Face) -> Step: ...
    @property
    def seconds(self) -> float: ...
    @property
    def front(self) -> Face: ...
    @property
    def back(self) -> Face: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __getnewargs_ex__(self) -> tuple[Any, dict[str, Any]]: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...

@final
class SlabHistory:
    @property
    def t_s(self) -> NDArray[np.float64]: ...
    @property
    def x_m(self) -> NDArray[np.float64]: ...
    @property
    def temperature_k(self) -> NDArray[np.float64]: ...
    @property
    def mean_k(self) -> NDArray[np.float64]: ...
    @property
    def front_k(self) -> NDArray[np.float64]: ...
    @property
    def back_k(self) -> NDArray[np.float64]: ...
    @property
    def coldest_k(self) -> NDArray[np.float64]: ...
    @property
    def hottest_k(self) -> NDArray[np.float64]: ...
    @property
    def supplied_j_m2(self) -> tuple[float, float]: ...
    @property
    def energy_error(self) -> float: ...
    @property
    def steps(self) -> int: ...
    def first_time(
        self, where: _Where, level_k: float, *, rising: bool = True, layer: int | None = None
    ) -> float | None: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Heat:
    @staticmethod
    def oven(air: str, *, fan: bool = True, length: str = "300 mm") -> Heat: ...
    @staticmethod
    def panel(
        surface: str,
        *,
        size: str = "300 mm x 300 mm",
        distance: str = "100 mm",
        emissivity: float = 0.9,
        room: str = "20 degC",
        clear_sheet: bool = False,
    ) -> Heat: ...
    @staticmethod
    def bath(water: str) -> Heat: ...
    @staticmethod
    def bar(surface: str, *, pressed_soft: bool = False) -> Heat: ...
    @staticmethod
    def given(
        film_w_m2_k: float | tuple[float, float, float],
        gas: str,
        *,
        surroundings: str = "20 degC",
        radiates: bool = True,
        flux_w_m2: float = 0.0,
    ) -> Heat: ...
    def face(self, emissivity: float = 0.9) -> Face: ...
    @property
    def source(self) -> str: ...
    @property
    def film_w_m2_k(self) -> float: ...
    @property
    def film_low_w_m2_k(self) -> float: ...
    @property
    def film_high_w_m2_k(self) -> float: ...
    @property
    def gas_k(self) -> float: ...
    @property
    def gas_low_k(self) -> float: ...
    @property
    def gas_high_k(self) -> float: ...
    @property
    def surroundings_k(self) -> float: ...
    @property
    def factors(self) -> tuple[Record, ...]: ...
    @property
    def notes(self) -> tuple[Record, ...]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class HotAirGun:
    def __new__(
        cls,
        setpoint: str,
        airflow: str,
        nozzle: str = "34 mm",
        *,
        airflow_meant_at: str | None = None,
        rated_power: str | None = None,
        room: str = "20 degC",
        reflector: bool = False,
    ) -> HotAirGun: ...
    @staticmethod
    def two_setting(
        setting: Literal["I", "II"],
        *,
        nozzle: str = "34 mm",
        room: str = "20 degC",
        reflector: bool = False,
    ) -> HotAirGun: ...
    def at(self, distance: str, patch: str = "60 mm x 200 mm") -> Heat: ...
    def calibrated(self, coupons: Sequence[Coupon]) -> HotAirGun: ...
    @property
    def calibration(self) -> Calibration | None: ...
    @property
    def setpoint_k(self) -> tuple[float, float, float]: ...
    @property
    def airflow_m3_s(self) -> tuple[float, float, float]: ...
    @property
    def airflow_meant_at_k(self) -> float | None: ...
    @property
    def nozzle_m(self) -> float: ...
    @property
    def room_k(self) -> float: ...
    @property
    def reflector(self) -> bool: ...
    @property
    def film_factor(self) -> tuple[float, float, float]: ...
    @property
    def effectiveness_shift(self) -> tuple[float, float, float]: ...
    @property
    def source(self) -> str: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Coupon:
    def __new__(
        cls,
        material: str,
        *,
        thickness: str,
        distance: str,
        patch: str | None = None,
        back: str = "open",
        need: Literal["limp", "formable"] = "limp",
        limp_after: str | None = None,
        uncertainty: float | None = None,
        trace: tuple[Sequence[float], Sequence[float]] | None = None,
        where: _Where = "front",
        trace_uncertainty: str = "3 K",
        air: str | None = None,
        file: str | None = None,
    ) -> Coupon: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, Any]]: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...

_Numbers: TypeAlias = Sequence[float] | NDArray[np.floating[Any]] | NDArray[np.integer[Any]]
_Load: TypeAlias = Literal["sustained", "static", "light"]

@final
class Climate:
    def __new__(
        cls, temperature_k: _Numbers, humidity: _Numbers, times_s: _Numbers | None = None
    ) -> Climate: ...
    @staticmethod
    def steady(temperature: str, humidity: str = "50 %") -> Climate: ...
    def temperature_k(self, t_s: float) -> float: ...
    def humidity(self, t_s: float) -> float: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __getnewargs__(self) -> tuple[list[float], list[float], list[float] | None]: ...

@final
class Cure:
    def __new__(
        cls,
        adhesive: str,
        gap: str | None = None,
        overlap: str = "10 mm",
        faces: Sequence[str] | None = None,
    ) -> Cure: ...
    @property
    def name(self) -> str: ...
    def ready_at(self, start_s: float, climate: Climate) -> Ready: ...
    def ready_band_at(self, start_s: float, climate: Climate) -> ReadyBand: ...
    def open_left(self, start_s: float, now_s: float, climate: Climate) -> float: ...
    def times_at(self, shop: str, humidity: str = "50 %") -> Ready: ...
    def ready_over(
        self,
        start_s: float,
        times_s: _Numbers,
        temperature_k: NDArray[np.float64],
        humidity: NDArray[np.float64],
    ) -> dict[str, NDArray[np.float64]]: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __getnewargs__(self) -> tuple[str, str | None, str, list[str]]: ...

@final
class PlanResult:
    @property
    def json(self) -> str: ...
    @property
    def drawings(self) -> list[tuple[str, str, str, str, str, str, bytes]]: ...

def _behind(question: _Question, heat: Heat, limit: str | None) -> str: ...
def _gun(words: dict[str, Any], coupons: Sequence[Coupon]) -> HotAirGun: ...
def _heat(kind: str, texts: Sequence[str]) -> Heat: ...
def _labels(path: str, shop_text: str, shop_path: str, names: Sequence[str]) -> Drawing: ...
def _memory(path: str, shop_text: str, shop_path: str, request: str) -> str: ...
def _line_bend(question: _Question, heat: Heat, strip: str) -> str: ...
def _recipe(
    question: _Question,
    heat: Heat,
    draws: int,
    spread: Sequence[tuple[str, str, Sequence[float]]],
    seed: int,
    history: bool,
) -> str: ...
def _recipe_columns() -> list[str]: ...
def _recipes(
    question: _Question,
    heat: Heat,
    names: Sequence[str],
    columns: Sequence[NDArray[np.float64]],
    rows: Sequence[int],
    raises: bool,
    progress: Callable[[float], object] | None,
) -> tuple[dict[str, NDArray[np.float64]], list[str], list[str | None]]: ...
def _ways(question: _Question, heat: Heat, seconds: str) -> str: ...
def _working_range(
    kind: str,
    question: _Question,
    gun: HotAirGun,
    patch: str,
    rows: NDArray[np.float64],
    columns: NDArray[np.float64],
    progress: Callable[[float], object] | None,
) -> NDArray[np.uint8]: ...
def _faults() -> list[tuple[str, BaseException]]: ...
def adhesive(name: str) -> Adhesive: ...
def adhesives(role: str | None = None) -> list[str]: ...
def faces(adhesive: str | None = None) -> list[str]: ...
def pot_life(adhesive: str, *, mass: str, shop: str = "23 degC") -> PotLife: ...
def rank_coats(
    face: str,
    role: Literal["filler", "primer"],
    *,
    service: str = "60 degC",
    shop: str = "23 degC",
    humidity: str = "50 %",
) -> AdhesiveRanking: ...
def resin_path(
    times_s: _Numbers,
    temperature_k: _Numbers,
    *,
    resin: Literal["karkanas-1998", "pantelelis-2005", "hein-2018", "room-temperature"],
    start: float = 0.0,
    cap: float | None = None,
) -> dict[str, Any]: ...

_Place: TypeAlias = Literal["cabin-air", "upper-pillar", "dash-top", "parcel-shelf", "door"]
_Sun: TypeAlias = Literal["mild", "hot", "extreme"]
_Held: TypeAlias = Literal["both-ends", "clamped-all-round", "cantilever"]
_Shock: TypeAlias = Literal["kerb", "door-slam"]
_Answer: TypeAlias = Literal["yes", "no", "unknown"]

def belongs(
    material: str,
    place: _Place,
    *,
    sun: _Sun = "hot",
    formed: bool = True,
    held: _Held = "both-ends",
    file: str | None = None,
) -> Check: ...
def cabin_temperature(place: _Place, sun: _Sun = "hot") -> Sourced: ...
def check_fit(measures: Mapping[str, str], *, part: str = "driver") -> Checks: ...
def check_panel(
    material: str,
    *,
    width: str,
    height: str,
    thickness: str,
    place: _Place,
    sun: _Sun = "hot",
    temperature: str | None = None,
    centre_mass: str = "0 g",
    covering: float = 0.0,
    formed: bool = False,
    held: _Held = "clamped-all-round",
    screw: str = "4 mm",
    countersunk: bool = False,
    edge: str = "12 mm",
    pitch: str = "150 mm",
    screws: int = 4,
    slot: str = "6 mm",
    from_fixed: str | None = None,
    sag_limit: str = "1 mm",
    q: float = 10.0,
    shock: _Shock = "kerb",
    part: str = "panel",
    file: str | None = None,
) -> Checks: ...
def check_ring(
    material: str,
    *,
    thickness: str,
    web: str,
    driver_mass: str,
    vehicle_circle: str,
    layer: str | None = None,
    vehicle_screws: int = 4,
    vehicle_screw: str = "5 mm",
    driver_screws: int = 4,
    driver_screw: str = "4 mm",
    driver_offset: str | None = None,
    driver_engagement: str | None = None,
    driver_pilot: str | None = None,
    driver_insert: tuple[str, str] | None = None,
    room: str | None = None,
    web_at_screws: str | None = None,
    driver_edge: str | None = None,
    vehicle_edge: str | None = None,
    pitch: str | None = None,
    vehicle_hole: str | None = None,
    place: _Place = "door",
    sun: _Sun = "hot",
    temperature: str | None = None,
    countersunk: bool = False,
    sag_limit: str = "1 mm",
    q: float = 10.0,
    shock: _Shock = "door-slam",
    fit: Mapping[str, str] | None = None,
    joint: Mapping[str, str] | None = None,
    steel: Mapping[str, str] | None = None,
    part: str = "ring",
    file: str | None = None,
) -> Checks: ...
def check_strap(
    material: str,
    *,
    thickness: str,
    tab_length: str,
    tab_width: str,
    carried: str,
    place: _Place,
    sun: _Sun = "hot",
    temperature: str | None = None,
    held: _Held = "both-ends",
    formed: bool = True,
    tabs: int = 2,
    screws_per_tab: int = 1,
    screw: str = "4 mm",
    countersunk: bool = False,
    edge: str | None = None,
    slot: str | None = None,
    from_fixed: str | None = None,
    sag_limit: str = "1 mm",
    q: float = 10.0,
    shock: _Shock = "kerb",
    fit: Mapping[str, str] | None = None,
    joint: Mapping[str, str] | None = None,
    part: str = "strap",
    file: str | None = None,
) -> Checks: ...
def may_plan(place: _Place, *, airbag: _Answer, driver_view: _Answer) -> PlaceAnswer: ...
def openings(
    material: str, *, width: str, thickness: str, screw: str = "4 mm", file: str | None = None
) -> Openings: ...
def road_response(
    frequency_hz: float | Sequence[float] | NDArray[np.float64],
    *,
    q: float | None = None,
    profile: Sequence[tuple[float, float]] | None = None,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]: ...
def screw_holes(material: str, screw: str, *, file: str | None = None) -> ScrewHoles: ...
def absorption_rate(overhead: float, base_h: float) -> float: ...
def capital_recovery(
    price: float, *, years: float, salvage: float = 0.0, interest: float | str = 0.0
) -> float: ...
def covering_price(draws: _Column, cover: float | str, *, fees: float | str = 0.0) -> float: ...
def critical_path(activities: Sequence[tuple[str, float, Sequence[_Before]]]) -> Record: ...
def critical_path_pert(
    activities: Sequence[tuple[str, tuple[float, float, float], Sequence[_Before]]],
    *,
    by: float | None = None,
) -> Record: ...
def cutter_wear(
    price: float, *, life_m: float, cut_m: float, passes: int = 1, regrinds: int = 0
) -> float: ...
def labour_rate(
    wage: float, *, on_cost: float | str, paid_h: float, leave_h: float, productive: float | str
) -> float: ...
def machine_rate(
    *,
    owning: float,
    upkeep: float,
    hours: float,
    power_kw: float = 0.0,
    energy_price: float = 0.0,
) -> float: ...
def rework(fail: float | str, tries_per_blank: int, *, blank: float, one_try: float) -> Record: ...
def standard_time(
    observed: float, *, rating: float | str = 1.0, allowance: float | str = 0.0
) -> float: ...
def band(values: float | Sequence[float] | NDArray[np.float64]) -> Band: ...
def blanks_to_start(good: int, fail: float | str, *, confidence: float | str = 0.95) -> int: ...
def compare(
    job_text: str,
    job_path: str,
    shop_text: str,
    shop_path: str,
    ways: Sequence[tuple[str, str]],
    *,
    materials: tuple[str, str] | None = None,
    memory: str | None = None,
    draws: int = 256,
    seed: int = 1,
) -> str: ...
def compare_materials(
    names: Sequence[str], properties: Sequence[str], *, file: str | None = None
) -> Comparison: ...
def conversion(
    times_s: _Numbers,
    temperature_k: _Numbers,
    *,
    factors: tuple[float, float],
    energies_j_mol: tuple[float, float],
    orders: tuple[float, float, float],
    start: float = 0.0,
) -> NDArray[np.float64]: ...
def cure(
    adhesive: str,
    *,
    gap: str | None = None,
    overlap: str = "10 mm",
    faces: Sequence[str] | None = None,
) -> Cure: ...
def draw_costs(
    lines: Sequence[tuple[str, tuple[str | float, ...], Sequence[str]]],
    *,
    causes: Mapping[str, tuple[str | float, ...]] = {},
    draws: int = 10000,
    seed: int = 1,
) -> NDArray[np.float64]: ...
def estimate(
    lines: Sequence[tuple[str, str, float, str, float]],
    *,
    attended: str,
    currency: str,
    margin: float | str | None = None,
    markup: float | str | None = None,
    overhead_per_hour: float = 0.0,
    overhead_on_labour: float | str | None = None,
    rework: float = 0.0,
    fees: float | str = 0.0,
    minimum: float = 0.0,
    discount: float | str = 0.0,
    tax: float | str = 0.0,
    tax_by: Literal["total", "line"] = "total",
    tax_exempt: Sequence[str] = (),
    rounding: Literal["half-up", "half-even"] = "half-up",
    draws: float | Sequence[float] | NDArray[np.float64] | None = None,
    cover: float | str | None = None,
) -> Estimate: ...
def free_convection_nusselt(
    rayleigh: float, *, prandtl: float = 0.7, lie: _Lie = "upright", laminar: bool = False
) -> float: ...
def heat_slab(
    layers: Sequence[Layer],
    steps: Sequence[Step],
    at_s: Sequence[float] | NDArray[np.float64] | None = None,
) -> SlabHistory: ...
def finish(
    kind: Literal["bare", "textured", "filled-painted", "vinyl-wrap", "fabric-wrap"],
    *,
    material: str,
    area: str,
    edge: str = "0 mm",
    shade: Literal["dark", "middle", "light"] = "dark",
    shop: str = "21 degC",
    humidity: str = "50 %",
) -> Finish: ...
def joint(
    a: str,
    b: str,
    *,
    area: str | None = None,
    bead: str | None = None,
    fillet: str | None = None,
    size: str = "4 mm",
    adhesive: str | None = None,
    count: int = 1,
    gap: str | None = None,
    overlap: str = "10 mm",
    service: str = "60 degC",
    shop: str = "23 degC",
    humidity: str = "50 %",
    load: _Load = "sustained",
    pack: str | None = None,
    price: float = 0.0,
    nozzle: float = 0.0,
    closing: str | None = None,
) -> Joint: ...
def lay_out(
    blanks: Sequence[Mapping[str, Any]],
    rack: Sequence[Mapping[str, Any]],
    *,
    method: Literal["hand-router", "saw", "cnc"] = "hand-router",
    kerf: str | None = None,
    spacing: str | None = None,
    trim: str | None = None,
    keep: tuple[str, str] = ("100 mm", "300 mm"),
    recovery: float = 0.5,
    cutting_rate_per_m: float = 0.0,
    waiting_rate_per_day: float = 0.0,
    within_days: float | None = None,
    earlier: Layout | None = None,
    seed: int = 1,
    effort: int | None = None,
    seconds: float | None = None,
    progress: Callable[[float], object] | None = None,
) -> Layout: ...
def jet_nusselt(
    reynolds: float, height: float, radius: float, *, prandtl: float = 0.7, local: bool = False
) -> float: ...
def learning(
    first: float,
    units: int,
    *,
    slope: float | str,
    model: Literal["unit", "cumulative-average"] = "unit",
    machine_share: float | str = 0.0,
) -> NDArray[np.float64]: ...
def material(name: str, *, file: str | None = None) -> Material: ...
def material_at(name: str, temperature: str, *, file: str | None = None) -> MaterialAt: ...
def material_notes(
    name: str,
    *,
    thickness: str = "3 mm",
    formed: bool = True,
    infrared: bool = False,
    file: str | None = None,
) -> list[Record]: ...
def material_provenance(names: Sequence[str], *, file: str | None = None) -> Provenance: ...
def materials(
    *,
    file: str | None = None,
    role: Literal["sheet", "gasket", "body"] | None = None,
    limp_at: str | None = None,
    formable_at: str | None = None,
    softens_above: str | None = None,
    survives: str | None = None,
    stocked: str | None = None,
    contains_pvc: bool | None = None,
) -> Materials: ...
def measured_sheet(
    material: str,
    *,
    name: str,
    thickness: str,
    mass: str | None = None,
    area: str | None = None,
    square_before: str | None = None,
    square_after: str | None = None,
    limp_after: str | None = None,
    lot: str = "",
    texture: Literal["none", "one-side", "both-sides"] = "none",
    film: bool = False,
    file: str | None = None,
) -> Sheet: ...
def plan(
    job_text: str,
    job_path: str,
    shop_text: str,
    shop_path: str,
    *,
    materials: tuple[str, str] | None = None,
    memory: str | None = None,
    draws: int = 256,
    seed: int = 1,
) -> PlanResult: ...
def price_breaks(
    each: Sequence[tuple[str, str, float, str, float]],
    *,
    quantities: Sequence[int],
    first: str,
    set_up: str = "0 s",
    labour_per_hour: float,
    currency: str,
    margin: float | str | None = None,
    markup: float | str | None = None,
    once: Sequence[tuple[str, str, float, str, float]] = (),
    slope: float | str = 1.0,
    model: Literal["unit", "cumulative-average"] = "unit",
    overhead_per_hour: float = 0.0,
    minimum: float = 0.0,
) -> tuple[PriceBreak, ...]: ...
def promise(
    tasks: Sequence[Mapping[str, Any]],
    *,
    hours: Mapping[str, Sequence[str]],
    start: str,
    closed: Sequence[str] = (),
    climate: Climate | None = None,
    fabricators: int = 1,
    slot: str = "15 min",
    pace: tuple[float, float, float] = (0.85, 1.0, 1.3),
    draws: int = 256,
    seed: int = 1,
) -> WorkPlan: ...
def quantiles(
    law: tuple[str | float, ...], p: float | Sequence[float] | NDArray[np.float64]
) -> NDArray[np.float64]: ...
def quantities(
    texts: Sequence[str], dimension: _Dimension, *, what: str = "quantity"
) -> NDArray[np.float64]: ...
def quantity(text: str, dimension: _Dimension, *, what: str = "quantity") -> Measure: ...
def quote(
    job: Estimate,
    *,
    work: Sequence[str],
    date: str,
    vehicle: str = "",
    customer: str = "",
    number: str = "",
    valid_days: int = 21,
    binding: Literal["fixed", "estimate"] = "fixed",
    deposit: float | str = 0.0,
    assumptions: Sequence[str] = (),
    exclusions: Sequence[str] = (),
    ready_by: str | None = None,
) -> Quote: ...
def rank_adhesives(
    a: str,
    b: str,
    *,
    gap: str | None = None,
    overlap: str = "10 mm",
    service: str = "60 degC",
    shop: str = "23 degC",
    humidity: str = "50 %",
    load: _Load = "sustained",
    area: str = "75 cm2",
    closing: str | None = None,
) -> AdhesiveRanking: ...
def quick_recipes(
    *,
    thickness_m: _Column,
    conductivity_w_m_k: _Column,
    capacity_j_m3_k: _Column,
    film_w_m2_k: _Column,
    gas_k: _Column,
    need_k: _Column,
    upper_k: _Column,
    set_k: _Column,
    cool_film_w_m2_k: _Column = 13.0,
    air_k: _Column = 293.15,
    back_film_w_m2_k: _Column | None = None,
    back_gas_k: _Column | None = None,
    stop_s: _Column | None = None,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | None = None,
) -> dict[str, Any]: ...
def rank_materials(
    candidates: Sequence[Mapping[str, Any]],
    *,
    weights: Mapping[str, float] | None = None,
) -> list[Ranked]: ...
def reprice(
    lines: Sequence[tuple[str, tuple[str | float, ...], Sequence[str]]],
    factors: Sequence[Sequence[float]] | NDArray[np.float64],
    *,
    causes: Mapping[str, tuple[str | float, ...]] = {},
    currency: str,
    margin: float | str | None = None,
    markup: float | str | None = None,
    minimum: float = 0.0,
    cover: float | str | None = None,
    draws: int = 1000,
    seed: int = 1,
) -> dict[str, NDArray[np.float64]]: ...
def said(text: str, *, units: _System = "metric") -> str: ...
@overload
def show(
    values: float, dimension: _Dimension, *, units: _System = "metric", digits: int = 1
) -> str: ...
@overload
def show(
    values: Sequence[float] | NDArray[np.float64],
    dimension: _Dimension,
    *,
    units: _System = "metric",
    digits: int = 1,
) -> list[str]: ...
def soft_width(
    strip_m: float,
    *,
    diffusivity_m2_s: float,
    seconds: float,
    start_k: float,
    soft_k: float,
    edge_k: float,
) -> float: ...
def still_air_film(
    face_k: float, air_k: float, length_m: float, *, lie: _Lie = "upright"
) -> float: ...
def text_of(path: str) -> str: ...
def schema_of(kind: Literal["job", "shop"]) -> str: ...
def check_file(
    kind: Literal["job", "shop"],
    text: str,
    path: str,
    *,
    materials: tuple[str, str] | None = None,
) -> None: ...

_Hand: TypeAlias = Literal["left", "right", "either"]
_Faces: TypeAlias = Literal["alike", "one-sided"]
_Grain: TypeAlias = Literal["free", "along-x", "along-y"]
_Two: TypeAlias = tuple[str, str]

@final
class Drawing:
    @property
    def name(self) -> str: ...
    @property
    def width_m(self) -> float: ...
    @property
    def height_m(self) -> float: ...
    def svg(self) -> str: ...
    def dxf(self) -> str: ...
    def pdf(self, *, page: str = "a4") -> bytes: ...
    def _repr_svg_(self) -> str: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Form:
    @staticmethod
    def circle(diameter: str) -> Form: ...
    @staticmethod
    def ellipse(width: str, height: str) -> Form: ...
    @staticmethod
    def stadium(width: str, height: str) -> Form: ...
    @staticmethod
    def rectangle(width: str, height: str, *, corner: str = "0 mm") -> Form: ...
    @staticmethod
    def polygon(points: Sequence[_Two], *, corner: str = "0 mm") -> Form: ...
    @property
    def area_m2(self) -> float: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Leg:
    def __new__(
        cls,
        *,
        screw: str | None = None,
        height: str | None = None,
        tab: str = "22 mm",
        width: str = "24 mm",
        tilt: str = "0 deg",
        twist: str = "0 deg",
        aside: str = "0 mm",
        cut: str = "0 mm",
        at: tuple[str, str, str] | None = None,
        normal: tuple[float, float, float] = (0.0, 1.0, 0.0),
    ) -> Leg: ...
    @property
    def tab_m(self) -> float: ...
    @property
    def width_m(self) -> float: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Cutout:
    def __new__(
        cls, name: str, form: Form, *, at: _Two | None = None, turn: str = "0 deg"
    ) -> Cutout: ...
    @property
    def name(self) -> str: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Hole:
    def __new__(
        cls,
        name: str,
        *,
        at: _Two,
        diameter: str,
        slot: str | None = None,
        slot_angle: str = "0 deg",
        countersink: str | None = None,
    ) -> Hole: ...
    @property
    def name(self) -> str: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

@final
class Screws:
    def __new__(
        cls,
        name: str,
        holds: Literal["driver", "vehicle"],
        *,
        hole: str,
        circle: str | None = None,
        rectangle: _Two | None = None,
        inset: str | None = None,
        places: Sequence[_Two] | None = None,
        count: int = 4,
        first: str = "45 deg",
        depth: str = "0 mm",
        countersink: str | None = None,
        insert: _Two | None = None,
    ) -> Screws: ...
    @property
    def name(self) -> str: ...
    def to_dict(self) -> dict[str, Any]: ...
    def _repr_html_(self) -> str: ...
    def __eq__(self, value: object, /) -> bool: ...
    def __ne__(self, value: object, /) -> bool: ...
    def __reduce__(self) -> tuple[Any, ...]: ...

def strap(
    name: str,
    *,
    thickness: str,
    body: str | _Two | Sequence[_Two],
    left: Leg,
    right: Leg,
    hand: _Hand = "either",
    foam: str = "0 mm",
    middle_width: str | None = None,
    middle_length: str | None = None,
    foot_radius: str | None = None,
    material: str | None = None,
    neutral: float = 0.5,
    hole: str = "4.5 mm",
    slot: str = "7 mm",
    slot_at: Literal["left", "right"] = "right",
    spacing: str | None = None,
    trim: str = "8 mm",
    shrink: float | None = None,
    finish: str = "0 mm",
    faces: _Faces = "alike",
    grain: _Grain = "free",
    available: str | None = None,
    wire: str | None = None,
    wire_along: str = "0 mm",
    body_length: str | None = None,
    bare: str | None = None,
) -> Strap: ...
def panel(
    name: str,
    outer: Form,
    *,
    thickness: str,
    cutouts: Sequence[Cutout] | None = None,
    holes: Sequence[Hole] | None = None,
    hand: _Hand = "either",
    finish: str = "0 mm",
    faces: _Faces = "alike",
    grain: _Grain = "free",
) -> Panel: ...
def adapter_ring(
    name: str,
    outer: Form,
    cutout: Form,
    *,
    depth: str,
    stock: Sequence[tuple[str, float]],
    screws: Sequence[Screws] | None = None,
    over: str = "1.5 mm",
    joint_price: float = 0.0,
    chamfer: str | None = None,
    chamfer_angle: str = "45 deg",
    bevel: str = "0 mm",
    hand: _Hand = "either",
    finish: str = "0 mm",
    faces: _Faces = "alike",
    grain: _Grain = "free",
) -> AdapterRing: ...
def pressed_pod(
    name: str,
    solid: Literal["cylinder", "frustum", "dome", "box"],
    sizes: Mapping[str, str],
    *,
    thickness: str,
    held: Literal["clamped", "free"] = "clamped",
    edge: str = "20 mm",
    depth_ratio_max: float = 1.0,
    hand: _Hand = "either",
    faces: _Faces = "alike",
    grain: _Grain = "free",
) -> PressedPod: ...
def folded_panel(
    name: str,
    flanges: Sequence[str],
    folds: Sequence[tuple[str, str, str]],
    *,
    thickness: str,
    width: str,
    neutral: float | Literal["din-6935"] | None = None,
    material: str | None = None,
    border: float = 0.0,
    springback: str = "2 deg",
    hand: _Hand = "either",
    finish: str = "0 mm",
    faces: _Faces = "alike",
    grain: _Grain = "free",
) -> FoldedPanel: ...
def card_template(blank: Blank) -> Blank: ...
def router_template(blank: Blank, *, bit: str, bushing: str | None = None) -> Blank: ...
def template_sizes(
    *,
    bushing: str,
    bit: str,
    hole: str | None = None,
    template: str | None = None,
    part: str | None = None,
    pattern: str | None = None,
) -> TemplateSizes: ...
def routing(
    blank: Blank,
    *,
    method: Literal["sawn-then-trimmed", "hand-plunge", "machine", "saw"],
    bit: str = "6.35 mm",
    flutes: int = 2,
    speed: str = "18000 rpm",
    cuts: Literal["soft", "hard"] = "soft",
    pass_depth: str = "3 mm",
) -> Routing: ...
def trace(path: str | PathLike[str], *, unit: Literal["mm", "in"] | None = None) -> Traced: ...
def measure_sheet(kind: str, *, units: Literal["metric", "inch"] = "metric") -> MeasureSheet: ...
def aim(
    at_m: Sequence[float],
    listener_m: Sequence[float],
    *,
    normal: Sequence[float],
    along: Sequence[float],
) -> Aim: ...
def wedge(
    name: str,
    *,
    lift: str,
    length: str = "22 mm",
    width: str = "24 mm",
    thin: str = "1.5 mm",
    hole: str = "4.5 mm",
    hand: _Hand = "either",
) -> Wedge: ...
def seals(
    ring: AdapterRing,
    *,
    flange: str,
    foam: str = "5 mm",
    trim_gap: str | None = None,
    fixing: Literal["rivet-nut", "clip-nut", "through-bolt"] | None = None,
    screw: str = "5 mm",
) -> Seals: ...
def grille(
    name: str,
    outer: Form,
    opening: Form,
    *,
    thickness: str,
    retainer: str,
    mesh: str,
    lap: str = "8 mm",
    wrap: str = "0 mm",
    play: str = "0.5 mm",
    cone: _Two | None = None,
    hand: _Hand = "either",
    faces: _Faces = "alike",
) -> Grille: ...
def _blank_drawing(blank: Blank, job: str, material: str, remark: str, units: str) -> Drawing: ...
def _blank_mirrored(blank: Blank) -> Blank: ...
def _forms(part: TracedPart) -> list[Form]: ...
def _measure_drawing(kind: str, units: str) -> Drawing: ...
def _part(kind: str, text: str) -> Form | Leg | Cutout | Hole | Screws: ...
def variance_shares(
    inputs: Mapping[str, Sequence[float] | NDArray[np.float64]],
    result: Sequence[float] | NDArray[np.float64],
) -> dict[str, float]: ...
def touch_limit(seconds: float) -> float: ...
