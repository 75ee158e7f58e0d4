"""Which public name stands on which page; `make.py` fails where one is missing."""

PAGES = {
    "Plans": "Job Shop Plan plan Drawn Alternatives compare PriceBreak price_breaks schema",
    "Recipes": """
        recipe recipes Recipe Ranges ways_to_a_window Way heat_behind Behind foam_for Foam
        line_bend LineBend HotAirGun Heat Coupon Calibration distance_time_map
        setting_distance_map WorkingRange""",
    "Conduction": """
        heat_slab Layer Step Face Melting SlabHistory quick_recipes jet_nusselt
        free_convection_nusselt still_air_film soft_width touch_limit""",
    "Shapes": """
        strap Leg Strap panel Form Cutout Hole Screws Panel adapter_ring AdapterRing pressed_pod
        PressedPod folded_panel FoldedPanel grille Grille seals Seals wedge Wedge aim Aim Blank
        Drawing card_template router_template template_sizes TemplateSizes routing Routing trace
        Traced TracedPart measure_sheet MeasureSheet screw_holes ScrewHoles openings Openings""",
    "Layouts": "lay_out Layout",
    "Adhesives and finishes": """
        adhesive adhesives Adhesive faces rank_adhesives rank_coats AdhesiveRanking joint Joint
        cure Cure Ready ReadyBand Climate conversion resin_path pot_life PotLife finish Finish""",
    "Checks": """
        may_plan PlaceAnswer belongs check_strap check_ring check_panel check_fit Check Checks
        cabin_temperature road_response""",
    "Cost and promise": """
        estimate Estimate quote Quote draw_costs reprice blanks_to_start learning promise WorkPlan
        critical_path critical_path_pert labour_rate machine_rate capital_recovery standard_time
        covering_price rework cutter_wear absorption_rate variance_shares quantiles band Band""",
    "Materials": """
        material materials Material Materials material_at MaterialAt material_notes
        material_provenance measured_sheet Sheet compare_materials Comparison rank_materials
        Ranked Choice Provenance Sourced""",
    "Memory of the shop": "Memory Accepted Covered Table",
    "Tables and quantities": "for_rows quantity quantities show said Measure Record",
    "Errors": """
        MountwrightError OutOfRangeError KindError UnitError UnknownNameError ShapeError JobError
        Problem ImpossibleError WorkbookError CellProblem MemoryFileError""",
}
