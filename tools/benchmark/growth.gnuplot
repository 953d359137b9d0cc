# Draws what tools/bench growth measured: gnuplot -e "table='T.tsv'; picture='P.png'". Both axes are logarithmic.
set terminal pngcairo size 1800,1400 font "DejaVu Sans,14" linewidth 2
set output picture
set datafile separator tab
set datafile missing "nan"
set key autotitle columnheader
set logscale xy
set format x "%.0s%c"
set xlabel "tips"
set grid xtics ytics linetype 1 linewidth 0.5 linecolor rgb "#c0c0c0"
set key top left reverse Left samplen 2 spacing 1.1
set pointsize 1.4
stats table using (column("tips")) nooutput name "T"
set xrange [T_min * 0.7 : T_max * 1.5]
set multiplot layout 2,2 title "Baylore as a shop grows: lower is better" font "DejaVu Sans Bold,18"

set title "A key, everything included (the others: ids only)"
set ylabel "milliseconds, solid p50, dashed p99"
plot table using "tips":"ours.key.p50" with linespoints lc rgb "#0060a0" pt 7 title "Baylore", \
     "" using "tips":"ours.key.p99" with linespoints lc rgb "#0060a0" pt 7 dt 2 notitle, \
     "" using "tips":"fts5-prefix.key.p50" with linespoints lc rgb "#b05000" pt 5 title "FTS5, any word", \
     "" using "tips":"fts5-prefix.key.p99" with linespoints lc rgb "#b05000" pt 5 dt 2 notitle, \
     "" using "tips":"xapian.key.p50" with linespoints lc rgb "#308030" pt 9 title "Xapian, any word", \
     "" using "tips":"xapian.key.p99" with linespoints lc rgb "#308030" pt 9 dt 2 notitle

set title "A line of two to six words, any word, ids only"
plot table using "tips":"ours.any.p50" with linespoints lc rgb "#0060a0" pt 7 title "Baylore", \
     "" using "tips":"ours.any.p99" with linespoints lc rgb "#0060a0" pt 7 dt 2 notitle, \
     "" using "tips":"fts5.any.p50" with linespoints lc rgb "#b05000" pt 5 title "FTS5", \
     "" using "tips":"fts5.any.p99" with linespoints lc rgb "#b05000" pt 5 dt 2 notitle, \
     "" using "tips":"xapian.any.p50" with linespoints lc rgb "#308030" pt 9 title "Xapian", \
     "" using "tips":"xapian.any.p99" with linespoints lc rgb "#308030" pt 9 dt 2 notitle

set title "Build: Baylore from files, the others from plain text"
set ylabel "seconds"
plot table using "tips":"ours.build" with linespoints lc rgb "#0060a0" pt 7 title "Baylore", \
     "" using "tips":"fts5.build" with linespoints lc rgb "#b05000" pt 5 title "FTS5", \
     "" using "tips":"fts5-prefix.build" with linespoints lc rgb "#d09040" pt 4 title "FTS5 with prefixes", \
     "" using "tips":"xapian.build" with linespoints lc rgb "#308030" pt 9 title "Xapian"

set title "Size of the store"
set ylabel "MB"
plot table using "tips":"text.size" with linespoints lc rgb "#888888" pt 1 title "the tips themselves", \
     "" using "tips":"ours.size" with linespoints lc rgb "#0060a0" pt 7 title "Baylore", \
     "" using "tips":"fts5.size" with linespoints lc rgb "#b05000" pt 5 title "FTS5", \
     "" using "tips":"xapian.size" with linespoints lc rgb "#308030" pt 9 title "Xapian"
unset multiplot
