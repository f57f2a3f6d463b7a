"""The still drawing of a slip, for print and for whoever reads without a browser: what the scene shows, it shows.

whole                   puts it together: `scene_figure`
sheet, ink              the page and what is drawn with
boat, drives, shapes    hull and metal
aboard, inside, outside what is wired, and where its labels find room
bench, hand, held       meter, panel of breakers, what is in the hand and in the water
far, labels, look       neighbours; words; the look layer
"""
