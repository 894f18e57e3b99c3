"""What a studio is: plain values, validated, whether they come from a file or from a workbook."""
