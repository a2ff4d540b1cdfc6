-- By how much the log odds of any fault, before doubt, lie above those at which the chance of a
-- material one meets a line [1]; the share of material ones among all stays. odds and material_odds
-- with doubt in them, as judging.evidence has them: odds before doubt are odds / (1 - doubt odds),
-- and the chance is material_odds / (1 + odds). 0 on the line; far below where no odds reach it.
create or replace temp macro evidence_over(odds, material_odds, line, doubt) as
    ln(greatest(material_odds - (1e0 + doubt) * line * odds, 1e-12))
    - ln(greatest(line, 1e-12)) - ln(greatest(1e0 - doubt * odds, 1e-12))
