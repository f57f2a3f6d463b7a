"""The kit: panels around the scene, made of one base. Each has `text()` (in words) and `figure()` (for print)."""

from __future__ import annotations

from course.panels.kit.bonding import BondingSurvey
from course.panels.kit.chooser import MetalChooser
from course.panels.kit.couples import CoupleExplorer
from course.panels.kit.crevice import CreviceExplorer
from course.panels.kit.isolator import IsolatorExplorer
from course.panels.kit.loss import LossCalculator
from course.panels.kit.marina import MarinaView
from course.panels.kit.season import SeasonPlayer
from course.panels.kit.sizing import AnodeSizing
from course.panels.kit.terms import Glossary, glossary

# what a notebook calls, as it calls everything: in small letters
anode_sizing = AnodeSizing
bonding_survey = BondingSurvey
couple_explorer = CoupleExplorer
crevice_explorer = CreviceExplorer
isolator_explorer = IsolatorExplorer
loss_calculator = LossCalculator
marina_view = MarinaView
metal_chooser = MetalChooser
season_player = SeasonPlayer

__all__ = [
    "AnodeSizing",
    "BondingSurvey",
    "CoupleExplorer",
    "CreviceExplorer",
    "Glossary",
    "IsolatorExplorer",
    "LossCalculator",
    "MarinaView",
    "MetalChooser",
    "SeasonPlayer",
    "anode_sizing",
    "bonding_survey",
    "couple_explorer",
    "crevice_explorer",
    "glossary",
    "isolator_explorer",
    "loss_calculator",
    "marina_view",
    "metal_chooser",
    "season_player",
]
